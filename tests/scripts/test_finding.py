"""Finding kit under any name: 120 everyday words, each with its kind of kit among the first three.

The words are what households and the trade say (common practice, no source). The script of the
shelf ranks them, run by node with the names and other names of the library.
"""

import json
import shutil
import subprocess
from pathlib import Path

import pytest

from app.library.called import called, topics
from app.library.kit import kit_types
from app.web.pages.room_words import PARTS

FINDING = Path("static/js/model/finding.js")

WORDS = {
    "treadmill": "running-machine", "tread mill": "running-machine",
    "tredmill": "running-machine", "jogging": "running-machine",
    "running machine": "running-machine", "barbell": "bar-20", "olympic bar": "bar-20",
    "barbel": "bar-20", "light bar": "bar-15", "trap bar": "hex-bar", "ez bar": "curl-bar",
    "bent bar": "curl-bar", "power rack": "full-rack", "squat rack": "full-rack",
    "cage": "full-rack", "power cage": "full-rack", "half cage": "half-rack",
    "fold away rack": "folding-wall-rack", "folding rack": "folding-wall-rack",
    "smith machine": "guided-bar", "stands": "squat-stands", "weight bench": "flat-bench",
    "incline bench": "adjustable-bench", "bench press": "upright-bench", "leg curl": "leg-bench",
    "leg extension": "leg-machine", "dip bars": "dip-station", "parallel bars": "dip-station",
    "power tower": "pull-up-tower", "chin up bar": "pull-up-bar-wall",
    "pull up bar": "pull-up-bar-wall", "pullup": "pull-up-tower", "stall bars": "wall-bars",
    "gymnastic rings": "rings", "rings": "rings", "walking machine": "walking-pad",
    "under desk treadmill": "walking-pad", "manual treadmill": "curved-runner",
    "dumbbells": "dumbbell-rack-2", "dumbells": "dumbbell-rack-2",
    "hand weights": "adjustable-dumbbells", "kettlebells": "kettlebell-shelf",
    "kettle bell": "kettlebell-shelf", "punch bag": "standing-bag", "punching bag": "hung-bag",
    "boxing bag": "hung-bag", "heavy bag": "hung-bag", "sandbag": "hung-bag",
    "plyo box": "jump-box", "wooden box": "jump-box", "box jump": "jump-box",
    "stepper": "stair-machine", "aerobic step": "step", "yoga mat": "mat-space",
    "yoga": "mat-space", "pilates": "mat-space", "exercise mat": "mat-space",
    "skipping rope": "skipping-space", "jump rope": "skipping-space", "rope": "skipping-space",
    "deadlift platform": "platform", "mirror": "mirror", "tv": "screen", "telly": "screen",
    "television": "screen", "ventilator": "fan", "fan": "fan", "radiator": "heater",
    "electric heater": "heater", "infrared heater": "radiant-panel", "dryer": "dehumidifier",
    "refrigerator": "fridge", "freezer": "chest-freezer", "deep freezer": "chest-freezer",
    "washer": "washing-machine", "tumble dryer": "washing-machine", "gas boiler": "boiler",
    "water heater": "boiler", "furnace": "boiler", "fuse box": "consumer-unit",
    "breaker box": "consumer-unit", "electric panel": "consumer-unit", "cupboard": "other-thing",
    "sofa": "other-thing", "wardrobe": "other-thing", "exercise bike": "bike",
    "exersise bike": "bike", "spinning bike": "bike", "indoor cycle": "bike",
    "recumbent": "bike-lying", "recumbent bike": "bike-lying", "air bike": "fan-bike",
    "rowing machine": "rower", "rowing": "rower", "erg": "rower", "ski machine": "pull-ergometer",
    "elliptical": "cross-trainer", "eliptical": "cross-trainer", "stair climber": "stair-machine",
    "stop tap": "water-stopcock", "gas meter": "gas-tap", "bicycle": "bike-stored",
    "bicycles": "bike-stored", "pushbike": "bike-stored", "stepladder": "ladder",
    "shelves": "shelving", "racking": "shelving", "motorcycle": "motorbike", "van": "car",
    "work bench": "workbench", "cable machine": "cable-column", "pulley": "wall-pulley",
    "cable crossover": "double-cable", "functional trainer": "double-cable",
    "lat pulldown": "pull-down", "seated row": "pull-down", "multi gym": "multi-station",
    "home gym": "multi-station", "leg press": "leg-press", "roman chair": "back-extension",
    "hyperextension": "back-extension", "hamstring": "glute-ham",
    "bumper plates": "rubber-plates", "weights": "rubber-plates", "weight plates": "iron-plates",
    "discs": "iron-plates", "weight tree": "plate-tree", "plate storage": "plate-pegs",
    "barbell holder": "bar-holder", "barbell hooks": "bar-hooks", "corner press": "landmine",
    "t bar row": "landmine",
}  # fmt: skip


def run_node(script: str) -> object:
    node = shutil.which("node")
    if node is None:
        pytest.skip("node is not on this machine: .ci/run puts it there")
    things = [
        {"key": key, "name": kit.name, "called": called(key), "rest": f"{kit.group} {kit.note}"}
        for key, kit in kit_types().items()
    ]
    whole = (
        f"import {{ rank, nearest, slips }} from {json.dumps(FINDING.resolve().as_uri())};\n"
        f"const things = {json.dumps(things)}; const words = {json.dumps(list(WORDS))};\n{script}"
    )
    done = subprocess.run(
        [node, "--no-warnings", "--input-type=module", "-e", whole],
        capture_output=True, text=True, check=True,
    )  # fmt: skip
    return json.loads(done.stdout)


def test_each_of_120_words_finds_its_kind_among_the_first_three() -> None:
    assert len(WORDS) >= 120
    first = run_node(
        "console.log(JSON.stringify(words.map((word) => things"
        ".map((thing) => [rank(thing, word), thing.key]).filter(([by]) => by !== null)"
        ".sort((a, b) => a[0] - b[0]).slice(0, 3).map((one) => one[1]))));"
    )
    assert isinstance(first, list)
    missed = {
        word: three
        for (word, key), three in zip(WORDS.items(), first, strict=True)
        if key not in three
    }
    assert missed == {}


def test_a_word_that_finds_nothing_is_answered_with_what_is_nearest() -> None:
    near = run_node("console.log(JSON.stringify(nearest(things, 'rohwer').map((t) => t.key)));")
    assert isinstance(near, list)
    assert "rower" in near


def test_slips_are_counted_as_damerau_counts_them() -> None:
    """Damerau, A technique for computer detection and correction of spelling errors, 1964.

    His four kinds of one slip: a letter wrong, missing, too many, two in the wrong order.
    """
    pairs = [("rower", "rowar"), ("rower", "rwer"), ("rower", "rrower"), ("rower", "roewr")]
    counted = run_node(
        f"console.log(JSON.stringify({json.dumps(pairs)}.map(([a, b]) => slips(a, b))"
        ".concat([slips('rower', 'rower'), slips('rower', 'bench')])));"
    )
    assert counted == [1, 1, 1, 1, 0, 4] or counted == [1, 1, 1, 1, 0, 5]


def test_words_that_are_no_kit_lead_to_a_page_that_there_is() -> None:
    pages = {part for part, _ in PARTS} | {"works", "quantities", "cost", "months"}
    assert set(topics().values()) <= pages
    assert {"damp", "neighbours", "rust", "mice"} <= set(topics())


def test_every_kind_of_kit_has_another_name() -> None:
    assert [key for key in kit_types() if not called(key)] == []
