"""A million shots through dask's processes, and the same bytes as alone.

    pip install "thincut[dask]"; python dask_rows.py [ROWS] [PIECES]
"""

import hashlib
import sys
import time

import dask
import numpy as np

import thincut


def shots(rows):
    draw = np.random.default_rng(2026)
    return draw.uniform(0, 75, rows), draw.uniform(0.2, 2.2, rows), draw.choice([0.6, 0.9, 1.2], rows)


def solve(cut_deg, apart_m, to_pocket_m):
    """One piece; a process makes a solver of its own."""
    solver = thincut.Solver(thincut.Table("pool-9ft"))
    return solver.solve_many(cut_deg, apart_m, to_pocket_m, roll=1.0)


def digest(columns):
    return hashlib.sha256(b"".join(column.tobytes() for column in columns)).hexdigest()


def main():
    rows = int(sys.argv[1]) if len(sys.argv) > 1 else 1_000_000
    pieces = int(sys.argv[2]) if len(sys.argv) > 2 else 16
    given = shots(rows)

    start = time.perf_counter()
    alone = solve(*given)
    print(f"alone: {rows} rows in {time.perf_counter() - start:.2f} s")

    cuts = [np.array_split(column, pieces) for column in given]
    tasks = [dask.delayed(solve)(*piece) for piece in zip(*cuts)]
    start = time.perf_counter()
    parts = dask.compute(*tasks, scheduler="processes")
    print(f"dask: {pieces} pieces in {time.perf_counter() - start:.2f} s")

    together = [np.concatenate([part[name] for part in parts]) for name in alone]
    one, many = digest(alone.values()), digest(together)
    print(f"alone {one[:16]}  dask {many[:16]}")
    if one != many:
        sys.exit("the bytes differ")
    print("the same bytes")


if __name__ == "__main__":
    main()
