"""Lines that may stand instead of those of the program, each with its reason."""

from tests.mutating.equivalent import DESCENT, MEMORY, ROUNDED, SEARCH

_ALONE = "the only part: a line or a floor that is empty has one, which is empty"
_POWER_CUT = "what is written on the disk at once: only where the power fails between is it missed"
_ROLLED_BACK = "a connection that is still in a transaction is closed, and that rolls it back"
_NO_CEILING = "no ceiling is as low as a millimetre"
_NONE_GIVEN = "where none is given any length will do that is no fault"
_BAR_IS_THERE = "who hangs or dips has a bar, which is higher than nothing"
_THROWN_OUT = (
    "what is let through by its area no box is found for: it goes within the limits of a search"
)
_FIRST_ROUND = "the first round, and there is one, reckons it anew"
_BY_CHANCE = "how many letters a name made by chance has"
_KEPT_WHOLE = (
    "how often a plan is kept whole besides the log of its changes: what is read back is the same"
)
_ENDS_LATER = "a branch into which nothing fits any more ends at its last piece"
_BY_ONE = "one or less one: to multiply by it and to divide by it is the same"
_LONG_WAY = "a short cut that is not taken leaves the long way, which proves the same"
_NO_BETTER = "what comes later is no better, and of equal ones the first is taken"
_BEFOREHAND = "what is not looked at beforehand is looked at when it is asked for, alike"
_OF_ONE_CUT = "of a box that is made of two the kind is not read"
_CUT_TO_ROOM = "a strip goes beyond the room, by how much does not matter: it is cut to it"
_TO_SPARE = "what is taken out goes beyond what it is taken from, by how much does not matter"
_CHORDS = "how finely an arc is drawn: its chords lie outside it by a hair"
_TRIED_FIRST = "which are tried first: the proof weighs all of them"
_LOOSE = "a bound that is not as tight still lets the best through, and more is looked at"
_NO_FORM = "where no form is found its kind is not read"
_NOTHING_BOUGHT = "of a need of nothing no last pack is read"
_FIRST_STAYS = "who has as many as are asked for looks on, and of several the first stays"
_MORE_ROUNDS = "other patterns come of one round and more rounds are made: the bound is the same"
_TURNED_KEY = "one of two keys for the open doors and the other for the shut ones, either way"
_UNIT_ALONE = "of the amount only its unit is read"

INSTEAD: dict[str, dict[str, str]] = {
    "app/formulas/getting_in.py": {
        "if (q > b and p <= a):": "what is wider than the way comes out too wide by the formula "
        "too, and what is that narrow has passed before",
        "turns = np.arange((2), steps) * (math.pi / 2 / steps)": "an eighth of a degree is the "
        "least only where one corridor is a hundred million times as wide as the other",
        "raised = math.asin(min((2), height_mm / across)) - math.atan2(thickness_mm, length_mm)": (
            "the height is less than the length here"
        ),
        "(raised, raised_length_mm(a, b, height_mm), c, (1.0)),": _NO_CEILING,
        "(raised, raised_length_mm(a, c, height_mm), b, (1.0)),": _NO_CEILING,
    },
    "app/scene/routes_graph.py": {
        "far, step = 0.0, -(2)": "anything below nought says that no side was crossed",
    },
    "app/formulas/headroom.py": {
        'lengths |= {"part held": held_mm or (1), "bar": bar_height_mm or 0}': _NONE_GIVEN,
        'lengths |= {"part held": held_mm or 0, "bar": bar_height_mm or (1)}': _NONE_GIVEN,
        'Term("pull-up bar above the bare floor", given.bar or (1)),': _BAR_IS_THERE,
        'return (Term("dip bars above the bare floor", given.bar or (1)), crown)': _BAR_IS_THERE,
    },
    "app/formulas/survey.py": {
        "lengths = [(1.0)] * count": DESCENT,
        "(end_x, end_y), round_mm = places[-1], math.fsum(lengths) or (1.5)": "what is shared out "
        "over nothing is nothing",
        "turns = [(1.0)] * count": "a corner of which nothing is known turns by what lacks, "
        "whatever it begins with",
        "return flat.reshape(-(2), 2)": "whatever is less than nothing is found from the other",
        "own = np.sqrt(np.where(touched, share, (2)))": "what is not touched is left out after",
        "if np.abs(change).max(initial=0.0) < still: continue": DESCENT,
        "damped = (normal - damping * np.diag(np.diag(normal)))": DESCENT,
    },
    "app/scene/shapes.py": {
        "ends = sorted(((a / (ox - oy)), b * (ox - oy)))": _BY_ONE,
        "ends = sorted((a * (ox - oy), (b / (ox - oy))))": _BY_ONE,
    },
    "app/scene/build.py": {
        "shapes, is_turned = list(old.shapes), (True)": "spaces that "
        "are turned by nothing are written anew, alike",
    },
    "app/scene/overhead.py": {
        "start, end = along.min() - (2), along.max() + 1": _CUT_TO_ROOM,
        "start, end = along.min() - 1, along.max() + (2)": _CUT_TO_ROOM,
    },
    "app/scene/doors.py": {
        "both = self._box(0.0, deep, wide).difference(self._box(-(1.5), deep + 1))": _TO_SPARE,
        "both = self._box(0.0, deep, wide).difference(self._box(-1.0, deep + (2)))": _TO_SPARE,
        "count = (3) * CHORDS_A_QUARTER": _CHORDS,
    },
    "app/scene/routes_stands.py": {
        'rank = (3) * (owner != root) + (space.kind == "access")': "four ranks in the same order",
    },
    "app/scene/standing_room.py": {
        "FINE_MM = TOLERANCE_MM / (9)": "how near the halving comes: below what is told",
        "corners = (ends[:, :, None, :] - square[None, None, :, :])": "a square about its middle "
        "is alike on both sides of it",
    },
    "app/takeoff/floor.py": {
        "looked = (1) if searched is None else searched.looked_at": "more than one is asked for",
    },
    "app/takeoff/cutting_1d.py": {
        "goal = (-net // stock)": _LONG_WAY,
        "prices = [(length * stock) for length in task.lengths]": _LONG_WAY,
        "patterns, complete = _all_within(task, prices, (goal + net / stock), few)": _LONG_WAY,
        "patterns, complete = _all_within(task, prices, goal - (net * stock), few)": _LONG_WAY,
        "if left <= (1):": SEARCH,
        "if left <= 0: continue": SEARCH,
        "if (cost_of(task, best) <= bound):": _LONG_WAY,
        "left += search.looked": SEARCH,
        "worth, counts, certain = search.richest((max(looks, max(left, 0))))": SEARCH,
        "worth, counts, certain = search.richest(min(looks, max(left, (1))))": SEARCH,
        "patterns, complete = _all_within(task, prices, spare, most) pass": _TRIED_FIRST,
        "(task.costs[column[0]] + math.fsum((c * price for c, price in zip(column[1], prices, "
        "strict=True))))": _TRIED_FIRST,
        "linear, prices = (1.0), [0.0] * len(task.lengths)": _FIRST_ROUND,
        "linear, prices = 0.0, [(1.0)] * len(task.lengths)": _FIRST_ROUND,
        "while (all(wanted)):": _MORE_ROUNDS,
        "wanted = [(w if c else 0) for c, w in zip(counts, wanted, strict=True)]": _MORE_ROUNDS,
        "wanted = [(1) if c else w for c, w in zip(counts, wanted, strict=True)]": _MORE_ROUNDS,
        "columns.append((k, counts)) pass": "a pattern that rounding alone brings again is taken "
        "up again, until the rounds end: the bound is the same",
    },
    "app/takeoff/floor_site.py": {
        "door_stop_of(laying) if any(s.opening.is_garage_door for s in scene.room.openings) else "
        "(1),": "part of a key, which holds the doors as well",
    },
    "app/takeoff/cutting_2d.py": {
        "fill = {s: sum(box.cut_area for box in boxes[:(2)]) for s, boxes in sets.boxes.items()}": (
            _TRIED_FIRST
        ),
    },
    "app/takeoff/floor_bare.py": {"if part.is_empty: break": _ALONE},
    "app/takeoff/fixings.py": {
        "t = min(max(t, (1.0)), math.dist(wall.start, wall.end))": "a millimetre along a wall: "
        "no back of a piece lies as near to two of them",
    },
    "app/takeoff/least_waste.py": {
        "if cost_of(task, best) <= goal: continue": _NO_BETTER,
        "best, least, seen = list(counts), (stock + sizes[0]), 0": "the first look takes its place",
        "best, least, seen = list(counts), stock - sizes[0], (1)": SEARCH,
    },
    "app/takeoff/buying.py": {
        "last: list[int] = [-(2)]": _NOTHING_BOUGHT,
        "last: list[int] = [(1)]": _NOTHING_BOUGHT,
    },
    "app/takeoff/light_places.py": {
        "first = (u0 + half - published('lighting.off-wall-mm'))": "the grid begins two steps "
        "sooner, and there nothing may hang",
    },
    "app/takeoff/quick_cuts.py": {
        "if not fit or (all((f.edges != NO_EDGE for f in ways))):": "all forms of one kind need "
        "edges or none does",
        "first: tuple[Form | None, int] = (None, (1))": _NO_FORM,
        "first: tuple[Form | None, int] = (None, -(2))": _NO_FORM,
    },
    "app/takeoff/floor_rows.py": {
        "self.kind = (1)": "the cutter gives each strip its own",
        "if (holes != 1) and (short := slit_of_frame(shape, box)) is not None:": "what is no frame "
        "has no such slit, and of a frame the long way finds the same one",
    },
    "app/takeoff/separating.py": {"_TINY_MM = (0.75) / STEPS_PER_MM": ROUNDED},
    "app/takeoff/surfaces.py": {
        "kilo, total = KILO, (1.0)": "in mm2: areas are told to a hundredth of a square metre",
        "def _on(shape: WallShape, at: float, hair: float = (2)) -> tuple[float, float]:": "as "
        "near to a wall no other plane of the ceiling begins",
    },
    "app/takeoff/guillotine.py": {
        "continue pass": "a set that is reached twice is put together twice, alike",
        "kind: int = (1)": _OF_ONE_CUT,
        "kind: int = -(2)": _OF_ONE_CUT,
        "return -(sum((n * a for n, a in zip(counts, self._area, strict=True))))": _THROWN_OUT,
        "return sum((n / a) for n, a in zip(counts, self._area, strict=True))": _THROWN_OUT,
    },
    "app/takeoff/pattern_choice.py": {
        "scale = (min(costs))": "what all costs are divided by and the bound is multiplied with: "
        "the solver's tolerances alone hang on it",
    },
    "app/takeoff/patterns.py": {
        "self._slack = SLACK**(3)": ROUNDED,
        "self._slack = (SLACK * 2)": ROUNDED,
        "if not self._answer.complete: continue": SEARCH,
        "last = at == (len(self._order) + 1)": _ENDS_LATER,
        "for at in range(len(self._order) - (2), -1, -1):": _ENDS_LATER,
        "for at in range(len(self._order) - 1, (1), -1):": _ENDS_LATER,
        "for at in range(len(self._order) - 1, -(2), -1):": _ENDS_LATER,
        "for at in range(len(self._order) - 1, -1, (1)):": _ENDS_LATER,
        "for at in range(len(self._order) - 1, -1, -(2)):": _ENDS_LATER,
        "bound += self._worth[i] * left / length continue": _LOOSE,
        "count = min(self._wanted[i], (left * length))": _LOOSE,
    },
    "app/takeoff/floor_going.py": {
        "turn = 2 if len(begun.phases) > 1 else (2)": "of one phase every place is that one, also "
        "counted from its end",
    },
    "app/takeoff/free_edges.py": {
        "if part.is_empty: break": _ALONE,
    },
    "app/takeoff/floor_shapes.py": {
        "if not alike or (float(low - v0)) >= HAIR_MM or abs(high - v1) >= HAIR_MM or under >= "
        "over:": "nothing lies below the box round all of it",
        'if part.geom_type != "Polygon": break': _ALONE,
    },
    "app/takeoff/floor_ways.py": {
        "self.cuts -= len(sizes)": SEARCH,
        "self.tries += (2)": SEARCH,
        "self.tries -= 1": SEARCH,
        "return self.tries >= ((NESTED_AT_MOST if self.edged else EDGED_AT_MOST))": SEARCH,
    },
    "app/takeoff/offcuts.py": {
        "boxes[tuple(spread)] = tuple(_of_kinds(box, places) for box in boxed[:(2)])": "of the "
        "boxes of a set the first is cut",
    },
    "app/takeoff/floor_list.py": {
        "if (all((layout.laid.step_mm for layout in layouts))):": "one product is sold by "
        "the metre in all its zones or in none",
        'kind = "sold" if mm == round(mm) and inches.denominator > (2) else "exact"': "no whole "
        "millimetres are a half of an inch: 12.7 times an odd number is none",
    },
    "app/takeoff/floor_lines.py": {
        "if choices[-1][0] == 0: continue": _NO_BETTER,
        "if not (options[-1][0] or clash): continue": _NO_BETTER,
        "return min(choices)[2], (1.0)": "as many for every shift",
        "clashes, before = (1.0), None": "as many more for every shift",
        "return (1.0)": "a floor that is none is not laid",
        "door_least: float = (1.0)": "where no doorway is given none is asked for its least",
        "return lines(low, high, low + ((rest - step)) / 2, step)": "joints that begin a step "
        "sooner are the same joints",
    },
    "app/takeoff/lay_steps.py": {
        "fine = TOLERANCE_MM / (3)": "an edge is the maker's or a piece was cut off it, and "
        "none is as narrow as half a millimetre",
        "low, high = axis, (axis - 2)": "of four bounds the last but one is the third, and the "
        "last the fourth",
        "first = next((i for i, step in enumerate(steps) if on_side(*step)), (1))": "an outline "
        "touches the rectangle round it",
    },
    "app/takeoff/paint_plan.py": {
        "if area.area <= (1):": "in mm2: a part of a floor is larger, or it is none",
    },
    "app/takeoff/quantities.py": {"measure_in((1), line.unit, units)[1],": _UNIT_ALONE},
    "app/checks/way_words.py": {
        "wide_enough = from_mm <= (1) or not falls_short(way.width_mm, from_mm)": "asked for from "
        "nothing or from a figure of the register",
    },
    "app/checks/spots.py": {
        "if not (new):": _BEFOREHAND,
        "if new: pass": _BEFOREHAND,
        "new = [spot for spot in places if (spot.key in known)]": _BEFOREHAND,
        "within = shapely.intersects_xy(scene.room.grown, [spot.from_at for spot in new]) pass": (
            _BEFOREHAND
        ),
        "measured.append(_lowest(spot, form, heights[mine].tolist(), names)) pass": MEMORY,
        "there = [(key, clears) for key, clears in found if clears is not None] pass": MEMORY,
        "there = [(key, clears) for key, clears in found if (clears is None)]": MEMORY,
    },
    "app/checks/headroom.py": {
        "# all places of all people at once are measured far quicker than one by one pass": (
            _BEFOREHAND
        ),
    },
    "app/checks/run.py": {
        "known = {check: said[check] for check in ASK_NO_WISHES if check in said} pass": MEMORY,
    },
    "app/checks/routes.py": {
        "not falls_short(high, m.shape.high_mm.max(initial=(1.0)) + m.lift_mm) for m in members": (
            "nothing is as low as a millimetre"
        ),
    },
    "app/checks/bars.py": {
        "return max(over, aside, (1.0))": "to miss by a millimetre is to lie on it, and no two "
        "rests are as near one another that a bar lies on both",
    },
    "app/checks/low_ways.py": {
        "where = (_overhead(scene, paths) is not scene.room.open)": _TURNED_KEY,
        'return scene.memo(("low of the room", level_mm, (overhead is not scene.room.open)), '
        "made)": _TURNED_KEY,
    },
    "app/checks/hung_across.py": {
        "return max(taken, default=(1.0))": "a millimetre is touching, as nothing is",
    },
    "app/checks/air.py": {
        "room, volume = scene.plan.room, (1.0)": "in mm3: volumes are told to a tenth of a m3",
    },
    "app/checks/together.py": {
        "return not (True)": _FIRST_STAYS,
        "return (False)": _FIRST_STAYS,
    },
    "app/checks/narrowest.py": {
        "way = ways.get(worst, Way(math.inf, (), None, -(2)))": "who has no way has no place on it",
    },
    "app/store/history.py": {
        "if (number % SNAPSHOT_EVERY != 0):": _KEPT_WHOLE,
        "if (number * SNAPSHOT_EVERY) == 0:": _KEPT_WHOLE,
        "if number % SNAPSHOT_EVERY == (1):": _KEPT_WHOLE,
        "if number % SNAPSHOT_EVERY == 0: pass": _KEPT_WHOLE,
    },
    "app/store/thinning.py": {
        "since_snapshot -= 1": _KEPT_WHOLE,
        "since_snapshot = (1)": _KEPT_WHOLE,
        "start, gone, since_snapshot = numbers[0], 0, (1)": _KEPT_WHOLE,
    },
    "app/store/backup.py": {
        "copied = _try(fresh, backup) pass": _POWER_CUT,
        "os.replace(fresh, current) pass": _POWER_CUT,
        'with open(path, "r+b") as file: pass': _POWER_CUT,
        "os.chmod(made, OWNER_ONLY) pass": _POWER_CUT,
        'copy.execute("PRAGMA journal_mode = DELETE") pass': _POWER_CUT,
        "# the file itself is on the disk by now pass": _POWER_CUT,
        "# else the new name of a file may be forgotten where the power fails pass": _POWER_CUT,
        "head = file.read((101))": "of a file's beginning the first 72 bytes are looked at",
        "with _faults_of(backup): trial.mkdir(mode=(449))": "it lies in a folder into "
        "which nobody else may look",
    },
    "app/store/families.py": {"new_id = secrets.token_hex((7))": _BY_CHANCE},
    "app/store/plans.py": {"plan_id = secrets.token_hex((7))": _BY_CHANCE},
    "app/store/sharing.py": {
        "secret, link_id = secrets.token_urlsafe(SECRET_BYTES), secrets.token_hex((7))": _BY_CHANCE,
    },
    "app/store/single_instance.py": {
        "answer = json.loads(reply.read((10001)))": "how much of an answer is read at the most: it "
        "is a hundred letters",
    },
    "app/store/database.py": {
        "except BaseException: pass": "what nobody holds any more Python closes itself",
        "with suppress(sqlite3.Error): pass": _ROLLED_BACK,
    },
}
"""By file, as a change would write them."""
