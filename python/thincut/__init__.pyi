from collections.abc import Sequence
from typing import Literal, Optional, Union, final

import numpy as np
from numpy.typing import ArrayLike, NDArray

_Pocket = Literal["corner", "side"]
_How = Literal["clean", "jaw", "rail"]

__all__ = ["STATUSES", "Solver", "Table", "Window", "acceptance", "chance", "levels", "presets"]

STATUSES: tuple[str, ...]
"""What the numbers in the column `status` mean; the first is "ok"."""

def presets() -> list[str]:
    """Names of the standard tables."""

def levels() -> list[str]:
    """Names of the assumed players, from first evening to expert."""

@final
class Table:
    """Bed, pockets, balls, cloth and cushions."""

    def __new__(cls, preset: str = "pool-9ft", changes: Sequence[str] = ...) -> Table:
        """A preset with some values changed, as "pocket.corner.mouth=4.25in"."""
    @staticmethod
    def from_toml(text: str) -> Table:
        """The text of a table's file."""
    @staticmethod
    def from_file(path: str) -> Table:
        """A table's file."""
    @property
    def name(self) -> str: ...
    def to_toml(self) -> str:
        """A table's file with every value."""

@final
class Window:
    """The directions of the cue ball that make one shot, relative to the aim. None where there is none."""

    @property
    def cut_deg(self) -> float:
        """Cut at the target, without throw."""
    @property
    def throw_deg(self) -> float:
        """How much fuller throw makes the cut."""
    @property
    def cue_speed_m_s(self) -> float:
        """Speed of the cue ball at contact."""
    @property
    def clean_deg(self) -> Optional[tuple[float, float]]:
        """Room towards a thicker and a thinner hit, for a ball that goes in untouched."""
    @property
    def direct_deg(self) -> Optional[tuple[float, float]]:
        """The same, jaws counted."""
    @property
    def drop_deg(self) -> Optional[tuple[float, float]]:
        """The same, rails counted."""
    @property
    def clean_mm(self) -> Optional[tuple[float, float]]:
        """`clean_deg` in millimetres at the ghost ball."""

@final
class Solver:
    """Solves shots on one table, and keeps what its pockets take between calls."""

    def __new__(cls, table: Table, pocket: _Pocket = "corner") -> Solver: ...
    @property
    def kept(self) -> int:
        """How many acceptances are kept."""
    def window(
        self,
        cut_deg: float,
        apart_m: float,
        to_pocket_m: float,
        *,
        approach_deg: float = 0.0,
        pace_m_s: float = 1.0,
        roll: Optional[float] = None,
        side: float = 0.0,
    ) -> Window:
        """One shot by angles. `roll` None: struck in the middle, and what arrives is found.

        Raises ValueError where the shot cannot stand or cannot be made, naming why.
        """
    def solve_many(
        self,
        cut_deg: ArrayLike,
        apart_m: ArrayLike,
        to_pocket_m: ArrayLike,
        *,
        approach_deg: Optional[ArrayLike] = None,
        pace_m_s: Optional[ArrayLike] = None,
        roll: Optional[float] = None,
        side: float = 0.0,
        level: Optional[str] = None,
    ) -> dict[str, Union[NDArray[np.float64], NDArray[np.uint8]]]:
        """Many shots: arrays of one length, or numbers that hold for all; one array for each column.

        Usually straight into the pocket (0 deg) and 1 m/s there.

        A row without an answer has NaN and says why in `status` (see STATUSES). With a `level` there is
        a column `chance`.
        """

def chance(
    window: Window,
    level: Optional[str] = None,
    *,
    arm_deg: Optional[float] = None,
    picture_mm: Optional[float] = None,
) -> float:
    """How often the shot is made, 0 to 1, by an assumed level or by spreads of arm and picture."""

def acceptance(
    table: Table,
    to_pocket_m: float,
    *,
    pocket: _Pocket = "corner",
    approach_deg: float = 0.0,
    pace_m_s: float = 1.0,
) -> list[tuple[float, float, _How]]:
    """Directions of the object ball that drop, in degrees from the centre-pocket line, and how."""
