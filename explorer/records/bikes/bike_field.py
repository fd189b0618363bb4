"""What is known of one field of a bike, before anybody fills it in."""

from dataclasses import dataclass


@dataclass(frozen=True)
class Field:
    """One field of a bike.

    Attributes:
        path: Section and name in the bike file, "chassis.wheelbase".
        label: Name for the reader.
        kind: A kind of `explorer.units`, or one of "name", "note", "date", "choice", "teeth",
            "teeth range", "reduction", "ratios", "links", "chain size", "tyre", "curve".
        help: What it is and how to find it, in one line.
        example: What to type, in quotation marks.
        required (bool): Whether the bike cannot be computed without it.
        within: Lowest and highest value accepted.
        choices: What may be chosen, for the kind "choice".
    """

    path: str
    label: str
    kind: str
    help: str
    example: str
    required: bool = True
    within: tuple[str, str] | tuple[int, int] | None = None
    choices: tuple[str, ...] = ()

    @property
    def section(self) -> str:
        """Part of the bike file in which it stands; empty at the top."""
        return self.path.rpartition(".")[0]

    @property
    def name(self) -> str:
        """Name within its section."""
        return self.path.rpartition(".")[2]
