"""Words for what a fitter uses, and the lines of the list of which one must then be there.

Written from the trade's side: what floor layers, painters, glaziers and electricians have in hand.
`but` are turns in which the word asks for nothing: a thing that is forbidden, that is part of the
room, or that is only offered.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import cache


@dataclass(frozen=True, slots=True)
class Word:
    """One word of the trade: how it is read, what answers it, where it asks for nothing."""

    reads: str
    answers: tuple[str, ...]
    but: str = ""

    def asked(self, text: str) -> bool:
        """Whether a text asks for it."""
        plain = re.sub(self.but, "", text, flags=re.IGNORECASE) if self.but else text
        return re.search(self.reads, plain, re.IGNORECASE) is not None


VOCABULARY = (
    Word(r"\bknife\b|cut (the|it) |\bcut and fit\b", ("tools.knife", "tools.fine-saw"),
         r"cut by knife|knife cuts edge|metres of knife|edges? cut by"),
    Word(r"\bblades?\b", ("tools.blades-",)),
    Word(r"straightedge", ("tools.straightedge",)),
    Word(r"chalk line", ("tools.chalk-line",)),
    Word(r"fill cracks|brush cracks out", ("tools.filling-knives",)),
    Word(r"\bsaw\b", ("tools.fine-saw",)),
    Word(r"\bglued?\b|adhesive", ("small.ramp-glue", "mirrors.adhesive", "floor.mat-tape"),
         r"no glue[^.;]*|glue and mats|paint, glue"),
    Word(r"\btaped?\b", ("small.cloth-tape", "paint.masking-tape", "floor.mat-tape", "linings.")),
    Word(r"tape (them|it) down", ("floor.mat-tape",)),
    Word(r"plastic", ("small.clear-sheet",)),
    Word(r"clear sheet", ("small.clear-sheet",)),
    Word(r"\bramps?\b", ("small.edge-ramp",)),
    Word(r"\bclips?\b", ("mirrors.clips", "strip.clips")),
    Word(r"\bledge\b", ("mirrors.ledge", "fixings.")),
    Word(r"\bplugs?\b", ("fixings.plug",), r"unplugged|plugged in"),
    Word(r"\bscrews?\b", ("fixings.", "linings.board-screws")),
    Word(r"\banchor m|\bbolt m10|bolting|drill, bolt", ("fixings.",)),
    Word(r"\bdrill \d|drill for|\bdrilling\b", ("fixings.drill-bit",),
         r"before[^.;:]*drill\w*|no drilling[^.;]*"),
    Word(r"\bdrill \d", ("tools.hammer-drill", "tools.drill-driver")),
    Word(r"with hammer", ("tools.hammer-drill",)),
    Word(r"find cables|cables first", ("tools.detector",)),
    Word(r"extract(or|ion)|draw the dust", ("tools.extractor",)),
    Word(r"\bP3\b", ("protection.masks-p3",)),
    Word(r"dust mask|mask;", ("protection.masks-5",), r"a dust mask does not[^.]*"),
    Word(r"goggles", ("protection.goggles",)),
    Word(r"ear protection|ear defenders", ("protection.ear-",)),
    Word(r"gloves", ("paint.gloves", "protection.gloves"), r"work gloves[^.;]*"),
    Word(r"gloves that resist cuts", ("protection.gloves-cut",)),
    Word(r"rubber gloves", ("protection.gloves-wet",)),
    Word(r"levelling compound", ("small.levelling-25kg",)),
    Word(r"paddle|tub\b", ("tools.mixing-set", "tools.stirring-paddle")),
    Word(r"stirring paddle", ("tools.stirring-paddle",)),
    Word(r"second bucket", ("tools.mixing-bucket",)),
    Word(r"slow drill", ("tools.drill-driver", "tools.mixing-drill")),
    Word(r"squeegee", ("tools.squeegee",)),
    Word(r"\bscrape", ("tools.scraper",)),
    Word(r"\bprops?\b", ("tools.prop",)),
    Word(r"strip of board", ("small.stop-board",)),
    Word(r"\bvacuum\b", ("have.vacuum", "tools.extractor")),
    Word(r"\bbroom\b|\bsweep\b", ("have.broom",), r"and the broom need it"),
    Word(r"\btorch\b", ("have.torch",)),
    Word(r"work gloves", ("have.work-gloves",)),
    Word(r"bin bags", ("have.bin-bags",)),
    Word(r"\bstring\b|\btied\b", ("have.string", "have.straps")),
    Word(r"cable ties", ("small.cable-ties",)),
    Word(r"to cut on", ("have.cutting-board",)),
    Word(r"tape measure", ("have.tape-measure", "have.pencil")),
    Word(r"with chalk\b", ("have.chalk", "tools.chalk-line")),
    Word(r"\bcloths?\b", ("have.cloths",), r"cloth tape"),
    Word(r"\bprojector\b", ("projection.projector",)),
    Word(r"\bpencil\b", ("have.pencil",)),
    Word(r"\bcolour dry|colours of the picture", ("projection.colours",)),
    Word(r"small brushes", ("projection.brushes",)),
    Word(r"spiked roller", ("tools.spiked-roller",)),
    Word(r"suction", ("tools.suction-grip",)),
    Word(r"\blevel,|spirit level", ("tools.level",)),
    Word(r"packers?", ("tools.packers",)),
    Word(r"ladder", ("tools.ladder",), r"loft ladder"),
    Word(r"trip switch|RCD", ("tools.rcd-adaptor",),
         r"trip switch and alarms|test button of the trip[^.]*"),
    Word(r"wire guards?", ("small.wire-guard",)),
    Word(r"mouse holes|wire mesh", ("small.mesh-roll",)),
    Word(r"\bwash the walls\b|wall cleaner", ("paint.wall-cleaner",)),
    Word(r"scrub", ("small.degreaser",)),
    Word(r"scrub", ("tools.scrub-brush",)),
    Word(r"brush off", ("tools.wire-brush",)),
    Word(r"fill cracks|cracks in the floor", ("small.slab-filler",)),
    Word(r"fill and sand|joint filler", ("linings.joint-filler",)),
    Word(r"\bsand(ing)? ", ("paint.abrasive", "protection.masks-5"), r"no [^.;]*sanding[^.;]*"),
    Word(r"battens?,|insulation,", ("linings.",), r"LED batten"),
    Word(r"cover sheets?|sheet the way", ("paint.dust-sheet",)),
    Word(r"primer", ("paint.board-primer", "paint.masonry-sealer", "small.levelling-primer")),
    Word(r"\broller\b", ("paint.roller-set",), r"a hired sprayer[^.]*|spiked roller"),
    Word(r"\bsprayer\b", ("paint.spray-hire",), r"a hired sprayer[^.]*"),
    Word(r"\brags\b", ("paint.rags",)),
    Word(r"lidded can|can with a lid", ("paint.lidded-can",)),
    Word(r"caulk|sealant", ("small.sealant",)),
    Word(r"seal the garage door$|floor seal", ("small.threshold-seal",)),
    Word(r"smoke alarm", ("small.smoke-alarm",)),
    Word(r"underlay", ("floor.underlay",)),
    Word(r"of board or hard rubber|plywood", ("floor.ply",)),
    Word(r"\bdryer\b", ("small.dryer",)),
    Word(r"measure it, and again", ("tools.hygrometer",)),
    Word(r"\bscrews? \d|with screw\b", ("tools.drill-driver",)),
    Word(r"heat first", ("small.heater", "piece.")),
    Word(r"\b(?<!no )fuse of|put a fuse|fuse each", ("strip.fuse",)),
    Word(r"fuse or limit", ("strip.supply",)),
)  # fmt: skip
"""From `knife` to `heater`, in no order: every word is looked for in every text."""

UNSAID = (
    Word(r"trolley", ("tools.trolley",)),
    Word(r"template", ("tools.template",)),
    Word(r"knee pads?", ("protection.knee",)),
    Word(r"suction lifter|crowbar|mixer", ("tools.",)),
)
"""Words of the trade that no text says by now: one that says them needs a line."""


@cache
def asked_by(text: str) -> tuple[Word, ...]:
    """Return the words that a text asks for: many texts stand in every plan."""
    return tuple(word for word in (*VOCABULARY, *UNSAID) if word.asked(text))
