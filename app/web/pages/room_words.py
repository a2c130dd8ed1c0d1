"""Words of the page of the room: its steps and their parts, and what stands under each."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Step:
    """One step of the order: its first part is where it begins; why it matters, in a sentence."""

    name: str
    parts: tuple[tuple[str, str], ...]
    why: str

    @property
    def begins(self) -> str:
        """The part with which it begins."""
        return self.parts[0][0]


STEPS = (
    Step("Overview", (("known", "Overview"),), ""),
    Step(
        "The house",
        (("house", "First questions"), ("building", "Building")),
        "It costs less to hear a landlord's no now than after the work. Who hears you decides "
        "when and on what you train; children decide what is locked away. What the building "
        "is made of decides what may be drilled and how damp it gets.",
    ),
    Step(
        "Walls",
        (("walls", "Walls"), ("measured", "Tape"), ("picture", "Picture")),
        "Everything is measured from the walls and hung on them.",
    ),
    Step(
        "Doors and windows",
        (("openings", "Doors and windows"),),
        "You come in by them, kit is carried in by them, and what opens needs its room.",
    ),
    Step(
        "Heights",
        (("ceiling", "Ceiling"), ("hanging", "What hangs below it")),
        "A little more or less of ceiling decides what each of you can do: press, pull-up, skip.",
    ),
    Step(
        "Floor",
        (("floor", "Floor"), ("columns", "Columns")),
        "What carries the floor decides what may stand and drop on it.",
    ),
    Step(
        "What is in it",
        (("things", "What is in it"),),
        "What stays takes floor and needs room to be reached; it is yours already and costs "
        "nothing. What goes has to be carried before anything else begins.",
    ),
    Step(
        "What will you do?",
        (("will", "What will you do?"),),
        "Only what you choose is counted, bought and done.",
    ),
    Step(
        "Power and air",
        (("electricity", "Electricity"), ("sockets", "Sockets"), ("air", "Air")),
        "Motors and heaters share one supply; people and burners share the air.",
    ),
    Step(
        "Ways",
        (("way-in", "Way in"), ("ways", "Ways on foot"), ("situations", "Situations")),
        "What cannot be carried in has to be sent back.",
    ),
)
"""The order in which a room is told, each step of which may be left for later."""
PARTS = tuple(part for step in STEPS for part in step.parts)
LISTS = {
    "wall": "walls",
    "corner": "walls",
    "opening": "openings",
    "into": "openings",
    "low": "hanging",
    "column": "columns",
    "socket": "sockets",
    "over": "ceiling",
    "step": "floor",
    "found": "things",
}
"""What is chosen -> the part of the page under which it stands."""
