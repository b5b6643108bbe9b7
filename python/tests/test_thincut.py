"""The binding gives what the library gives, and names what is wrong."""

import csv
import doctest
import math
import pathlib

import numpy as np
import pytest

import thincut

HERE = pathlib.Path(__file__).parent
DATA = HERE.parent.parent / "tests" / "data"


def table_rows(path):
    with open(path, encoding="utf-8", newline="") as file:
        return list(csv.DictReader(line for line in file if not line.startswith("#")))


def number(text):
    return float(text) if text else math.nan


def windows():
    """What the Rust program gives (`THINCUT_UPDATE=1 cargo test --test repository` writes it)."""
    return table_rows(DATA / "python" / "windows.csv")


def test_one_window_is_the_librarys():
    solvers = {kind: thincut.Solver(thincut.Table(), kind) for kind in ("corner", "side")}
    rows = windows()
    assert len(rows) >= 24
    for row in rows:
        roll = number(row["roll"])
        window = solvers[row["pocket"]].window(
            float(row["cut_deg"]),
            float(row["apart_m"]),
            float(row["to_pocket_m"]),
            approach_deg=float(row["approach_deg"]),
            pace_m_s=float(row["pace_m_s"]),
            roll=None if math.isnan(roll) else roll,
        )
        for part in ("clean", "direct", "drop"):
            got = getattr(window, f"{part}_deg") or (math.nan, math.nan)
            want = (number(row[f"{part}_thick_deg"]), number(row[f"{part}_thin_deg"]))
            assert got == pytest.approx(want, rel=1e-9, abs=1e-9, nan_ok=True)
        assert window.throw_deg == pytest.approx(float(row["throw_deg"]), rel=1e-9, abs=1e-9)
        assert thincut.chance(window, "club") == pytest.approx(float(row["club"]), rel=1e-9)


def test_many_are_as_each():
    rows = [row for row in windows() if row["pocket"] == "corner" and not row["roll"]]
    column = lambda name: np.array([float(row[name]) for row in rows])
    solver = thincut.Solver(thincut.Table())
    answers = solver.solve_many(
        column("cut_deg"),
        column("apart_m"),
        column("to_pocket_m"),
        approach_deg=column("approach_deg"),
        pace_m_s=column("pace_m_s"),
        level="club",
    )
    assert (answers["status"] == 0).all()
    for name in ("clean_thick_deg", "clean_thin_deg", "drop_thick_deg", "throw_deg"):
        want = np.array([number(row[name]) for row in rows])
        np.testing.assert_allclose(answers[name], want, rtol=1e-9, atol=1e-9)
    np.testing.assert_allclose(answers["chance"], column("club"), rtol=1e-9)


def test_acceptances_are_kept_between_calls():
    solver = thincut.Solver(thincut.Table())
    cuts = np.linspace(0, 70, 8)
    first = solver.solve_many(cuts, 1.2, 0.9)
    assert solver.kept == 1
    again = solver.solve_many(cuts, 1.2, np.array([0.9] * 8))
    assert solver.kept == 1
    for name in first:
        assert first[name].tobytes() == again[name].tobytes()
    solver.solve_many(cuts, 1.2, np.linspace(0.5, 1.2, 8))
    assert solver.kept == 9


def test_pieces_of_rows_give_the_bytes_of_the_whole():
    draw = np.random.default_rng(19)
    cuts, aparts = draw.uniform(0, 75, 501), draw.uniform(0.2, 2.0, 501)
    solver = thincut.Solver(thincut.Table())
    whole = solver.solve_many(cuts, aparts, 0.9, roll=1.0, level="club")
    parts = [
        thincut.Solver(thincut.Table()).solve_many(c, a, 0.9, roll=1.0, level="club")
        for c, a in zip(np.array_split(cuts, 7), np.array_split(aparts, 7))
    ]
    for name in whole:
        assert np.concatenate([part[name] for part in parts]).tobytes() == whole[name].tobytes()


def test_acceptance_is_what_another_tracer_found():
    cases = {}
    for row in table_rows(DATA / "acceptance.csv"):
        if row["gear"] == "pool-9ft":
            cases.setdefault(row["case"], []).append(row)
    assert len(cases) >= 5
    for rows in cases.values():
        first = rows[0]
        found = thincut.acceptance(
            thincut.Table(),
            float(first["distance_mm"]) / 1e3,
            pocket=first["pocket"],
            approach_deg=float(first["approach_deg"]),
            pace_m_s=float(first["pace_m_s"]),
        )
        assert [how for _, _, how in found] == [row["how"] for row in rows]
        for (start, end, _), row in zip(found, rows):
            assert start == pytest.approx(float(row["from_deg"]), abs=2e-6)
            assert end == pytest.approx(float(row["to_deg"]), abs=2e-6)


@pytest.mark.parametrize(
    ("call", "words"),
    [
        (lambda s: s.solve_many([0, 10], [1.0, 1.0, 1.0], 0.9), "apart_m has 3 values and cut_deg 2"),
        (lambda s: s.solve_many(np.zeros((2, 2)), 1.0, 0.9), "cut_deg has 2 dimensions"),
        (lambda s: s.window(30, 0.01, 0.9), "apart_m 0.01"),
        (lambda s: s.window(math.nan, 1.0, 0.9), "cut_deg is NaN"),
        (lambda s: s.window(30, 1.0, 0.9, side=0.3), "side without roll"),
        (lambda s: s.solve_many([30], 1.0, 0.9, level="wizard"), "wizard"),
        (lambda s: thincut.Solver(thincut.Table(), "top"), '"corner" or "side"'),
        (lambda s: thincut.Table("pool-9ft", ["pocket.corner.mouth=4.25"]), "mouth"),
        (lambda s: thincut.Table("pool-99ft"), "pool-99ft"),
        (lambda s: thincut.chance(s.window(30, 1.0, 0.9)), "level"),
    ],
)
def test_what_is_wrong_is_named(call, words):
    with pytest.raises(ValueError) as caught:
        call(thincut.Solver(thincut.Table()))
    assert words in str(caught.value)


def test_a_text_for_a_number_names_the_column():
    with pytest.raises(TypeError, match="apart_m: 4ft is not a number"):
        thincut.Solver(thincut.Table()).solve_many([30], "4ft", 0.9)


def test_rows_that_cannot_be_made_say_why():
    solver = thincut.Solver(thincut.Table(), "side")
    answers = solver.solve_many([0.0, 0.0, np.nan], 1.0, 0.9, approach_deg=[0.0, 85.0, 0.0])
    said = [thincut.STATUSES[status] for status in answers["status"]]
    assert said[0] == "ok" and said[1] != "ok" and said[2] == "invalid"
    assert np.isnan(answers["clean_thick_deg"][1:]).all()


def test_tables_go_there_and_back():
    table = thincut.Table("pool-9ft", ["pocket.corner.mouth=4.25in"])
    assert thincut.Table.from_toml(table.to_toml()).to_toml() == table.to_toml()
    assert "pool-9ft" in thincut.presets() and "club" in thincut.levels()


def test_readme_is_true():
    failed, ran = doctest.testfile(str(HERE.parent / "README.md"), module_relative=False)
    assert ran > 5 and failed == 0
