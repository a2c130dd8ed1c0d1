"""What a store answers when plans are changed, taken back, shared, put aside and brought back."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

from app.changes.commands import edits, moves
from app.changes.difference import difference
from app.errors import ElbowroomError
from app.model.kit import Pose
from app.model.plan import Plan
from app.store.backup import back_up, restore_backup
from app.store.flags import numbered, numbered_for_now
from app.store.pictures import drop_unshown
from app.store.plans import Store
from app.store.thinning import thin
from tests.answers.lot import Lot
from tests.answers.told import told
from tests.builders import make_person, make_plan, place

STORES = [f"store {number}" for number in range(1, 13)]
DOINGS = 45
KIT = ("bike", "rower", "jump-box", "mid-rack")
VOICES = ("anna", "ben", "cleo")


class Kept:
    """One store with some plans, and what is done to it by lot."""

    def __init__(self, lot: Lot, folder: Path) -> None:
        self.lot, self.folder = lot, folder
        self.store = Store(folder)
        self.ids: list[str] = []
        self.links: list[str] = []
        self.remarks: list[int] = []
        for name in ("Garage", "Loft", "Cellar"):
            pieces = [place(kit, 900.0 * i, 700, piece_id=f"p{i}") for i, kit in enumerate(KIT)]
            plan = make_plan(*pieces, name=name, people=[make_person()])
            self.ids.append(self.store.create(plan, lot.one(VOICES)).plan_id)

    def one(self) -> str:
        """Return the id of a plan, now and then of none."""
        return self.lot.one([*self.ids, *self.ids, self.ids[0], "0" * 12])

    def called(self, plan_id: str) -> str:
        """Return what stands for an id that was made by chance."""
        return f"plan {self.ids.index(plan_id)}" if plan_id in self.ids else "no plan"

    def change(self) -> str:
        plan_id, lot = self.one(), self.lot
        seen = self.store.at(plan_id, max(0, self.store.revision(plan_id) - lot.count(0, 2)))
        piece = f"p{lot.count(0, 3)}"
        known = [each.id for each in seen.plan.pieces]
        if piece not in known or lot.share(0.2):
            command = difference(seen.plan, self._otherwise(seen.plan), "edit", "many things")
            assert command is not None
        elif lot.share(0.5):
            pose = Pose(x_mm=lot.mm(0, 3000, 100), y_mm=lot.mm(0, 3000, 100))
            command = moves(seen.plan, {piece: pose})
        else:
            command = edits(seen.plan, piece, f"label {piece}", label=lot.one(("", "Old", "New")))
        made = seen.revision if lot.share(0.7) else None
        return self._state(self.store.do(plan_id, command, lot.one(VOICES), seen=made))

    def _otherwise(self, plan: Plan) -> Plan:
        pieces = [each for each in plan.pieces if self.lot.share(0.8)]
        more = place("plate-tree", 500, 500, piece_id=f"q{self.lot.count(0, 9)}")
        kept = [each for each in pieces if each.id != more.id]
        return make_plan(*kept, more, name=f"{plan.name} again", people=plan.people)

    def undo(self) -> str:
        return self._state(self.store.undo(self.one(), self.lot.one(VOICES)))

    def redo(self) -> str:
        return self._state(self.store.redo(self.one(), self.lot.one(VOICES)))

    def _state(self, state: Any) -> str:
        where = [(each.id, each.pose.x_mm, each.label) for each in state.plan.pieces]
        steps = state.undo_says, state.redo_says, state.undo_to, state.redo_to, state.same_as
        return f"{state.plan.name} {state.revision} {told(steps)} {told(where)}"

    def name(self) -> str:
        plan_id, lot = self.one(), self.lot
        number = lot.count(0, 6)
        if lot.share(0.3):
            self.store.log.drop_milestone(plan_id, number)
        else:
            self.store.log.name_milestone(plan_id, number, lot.one(("", "As it was", "x" * 90)))
        return told([(each.number, each.name) for each in self.store.log.milestones(plan_id)])

    def page(self) -> str:
        plan_id, lot = self.one(), self.lot
        rows = self.store.log.page(plan_id, lot.one((None, 3, 1, 0)), lot.count(1, 5))
        said = [(each.number, each.author, each.kind, each.milestone) for each in rows]
        return f"{told(said)} {told([each.folded for each in rows])}"

    def link(self) -> str:
        plan_id, lot = self.one(), self.lot
        ends = datetime.now(UTC) + timedelta(days=lot.one((1, 30, 400, -1)))
        rights = lot.one(("look", "comment", "edit", "own"))
        said = lot.one(("Anna", "owner", " ", "Ben"))
        link, secret = self.store.sharing.make_link(
            plan_id, said, rights, ends, lot.share(0.5), lot.share(0.5)
        )
        self.links.append(link.id)
        opened = self.store.sharing.opened_by(secret)
        later = link.lives(datetime.now(UTC) + timedelta(days=2))
        return told((link.name, link.rights, link.ticks, link.money, opened == link, later))

    def withdraw(self) -> str:
        plan_id, sharing = self.one(), self.store.sharing
        if self.links and self.lot.share(0.5):
            sharing.renew(plan_id, self.lot.one(self.links))
        elif self.links:
            sharing.withdraw(plan_id, self.lot.one(self.links))
        return told(sorted((each.name, each.lives()) for each in sharing.links(plan_id)))

    def remark(self) -> str:
        plan_id, lot, sharing = self.one(), self.lot, self.store.sharing
        voice = lot.one(VOICES)
        if not self.remarks or lot.share(0.4):
            x = lot.one((0.0, 900.0, 1e9))
            said = lot.one(("Too near", "", "Why?"))
            self.remarks.append(sharing.add_remark(plan_id, x, 70.0, said, voice, voice.title()))
        elif lot.share(0.5):
            sharing.reply(plan_id, lot.one(self.remarks), "Because.", voice, voice.title())
        else:
            sharing.settle_remark(plan_id, lot.one(self.remarks), lot.share(0.6), voice)
        return told(
            [
                (each.letter, each.x_mm, each.settled_by, [line.text for line in each.lines])
                for each in sharing.remarks(plan_id)
            ]
        )

    def vote(self) -> str:
        plan_id, lot = self.one(), self.lot
        voice = lot.one(VOICES)
        self.store.sharing.vote(plan_id, voice, voice.title(), lot.one(("for", "against", "so")))
        votes = self.store.sharing.votes(plan_id)
        return told(sorted((each.voice, each.choice, each.revision) for each in votes))

    def option(self) -> str:
        plan_id, lot, families = self.one(), self.lot, self.store.families
        voice = lot.one(VOICES)
        match lot.count(0, 3):
            case 0:
                plan = self.store.read(plan_id).plan
                made = families.add(plan_id, lambda letter: _named(plan, f"Option {letter}"), voice)
                self.ids.append(made.plan_id)
            case 1:
                families.choose(plan_id)
            case _:
                families.vote(plan_id, lot.one("ABC"), voice, voice.title())
        options = [(each.letter, each.name, each.chosen) for each in families.options(plan_id)]
        votes = [(each.voice, each.letter, each.revision) for each in families.votes(plan_id)]
        return f"{told(options)} {told(sorted(votes))} {len(families.all())}"

    def aside(self) -> str:
        plan_id = self.one()
        (self.store.delete if self.lot.share(0.5) else self.store.restore)(plan_id)
        gone = self.store.entries(deleted=True)
        there = self.store.entries()
        return told([sorted((one.name, one.revision) for one in some) for some in (there, gone)])

    def flags(self) -> str:
        plan_id, lot = self.one(), self.lot
        keys = [f"snag-{lot.count(0, 6)}" for _ in range(lot.count(0, 6))]
        known = self.store.flags(plan_id)
        self.store.keep_flags(plan_id, numbered(keys, known))
        return f"{told(self.store.flags(plan_id))} {told(numbered_for_now(keys, known))}"

    def picture(self) -> str:
        pictures, number = self.store.pictures, self.lot.count(0, 3)
        key = f"{number:032x}"
        if self.lot.share(0.6):
            pictures.keep(key, bytes([number]) * 9)
        there = [pictures.holds(f"{each:032x}") for each in range(4)]
        gone = 0
        if self.lot.share(0.3):
            away = timedelta(days=self.lot.one((0, 3)))
            gone = drop_unshown(self.store.database, datetime.now(UTC) + away)
        return f"{told(there)} {gone} went, {pictures.read(key).hex()}"

    def later(self) -> str:
        gone = thin(self.store.database, datetime.now(UTC) + timedelta(days=self.lot.one((0, 40))))
        left = [len(self.store.log.page(each, None, 99)) for each in self.ids[:1]]
        return f"{gone} went, {told(left)} stay"

    def backed_up(self) -> str:
        copied = back_up(self.store.database, self.folder / "all.backup")
        self.store.close()
        restored = restore_backup(self.folder / "all.backup", self.folder)
        self.store = Store(self.folder)
        return told([copied.count, restored.count, copied.unread, restored.left_out])


def _named(plan: Plan, name: str) -> Plan:
    return make_plan(*plan.pieces, name=name, people=plan.people)


def doings(name: str) -> Iterator[str]:
    """Yield what a store answers to one thing after another."""
    lot = Lot(name)
    with TemporaryDirectory() as folder:
        kept = Kept(lot, Path(folder))
        often: tuple[Callable[[], str], ...] = (
            *(kept.change, kept.change, kept.change, kept.undo, kept.undo, kept.redo, kept.name),
            *(kept.page, kept.link, kept.withdraw, kept.remark, kept.remark, kept.vote),
            *(kept.option, kept.option, kept.aside, kept.flags, kept.picture),
        )
        seldom = (kept.later, kept.backed_up)
        for number in range(DOINGS):
            doing = lot.one(seldom) if number % 20 == 19 else lot.one(often)
            try:
                yield f"{doing.__name__}: {doing()}"
            except ElbowroomError as error:
                said = str(error).replace(folder, "the folder")
                yield f"{doing.__name__}: {type(error).__name__} {said}"
        kept.store.close()
