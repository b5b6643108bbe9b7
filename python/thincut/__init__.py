"""How far off may a cue-ball aim be, and the object ball still drop?

Every parameter carries its unit in its name (`cut_deg`, `apart_m`, `pace_m_s`).
"""

from ._thincut import STATUSES, Solver, Table, Window, acceptance, chance, levels, presets

__all__ = ["STATUSES", "Solver", "Table", "Window", "acceptance", "chance", "levels", "presets"]
