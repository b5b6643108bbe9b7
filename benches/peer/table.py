"""The table of ratios from what run.sh gathered in a folder."""
import csv
import sys


def ratio(times):
    """Two digits."""
    rounded = float(f"{times:.2g}")
    return f"{rounded:.1f}" if rounded < 10 else f"{rounded:,.0f}"


def rows(path):
    """A row of cells a line; names may hold commas, numbers do not."""
    for line in open(path):
        yield line.strip().rsplit(",", 3)


def main():
    folder = sys.argv[1]
    ours = {row[0]: row[1:] for row in csv.reader(open(f"{folder}/ours.csv"))}
    window, every = (float(ours[f"ours-{cores}"][1]) for cores in ("one-core", "all-cores"))
    acceptance = float(ours["ours-acceptance"][0])
    print("| work | peer | its time over ours |")
    print("|---|---|---|")
    worst = 0.0
    for name, _, micros, off in rows(f"{folder}/windows.out"):
        worst = max(worst, float(off))
        print(f"| one aim window | {name} | {ratio(float(micros) / window)} |")
    for name, seconds, clean, jaw in rows(f"{folder}/acceptance.out"):
        angles = f"{float(clean):.5f}°, {float(jaw):.5f}°"
        print(f"| one acceptance | {name} ({angles}) | {ratio(float(seconds) / acceptance)} |")
    print()
    print(f"ours on one core: a window {window:.3f} µs, an acceptance {acceptance * 1e6:.1f} µs")
    print(f"ours on all cores: a window {every:.3f} µs")
    print(f"windows agree to {worst:.0e} rad")


if __name__ == "__main__":
    main()
