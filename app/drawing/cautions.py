"""What every sheet says in small print and every page has one click away.

Nothing here is a verdict: each tells what a plan cannot know and who decides.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Caution:
    """One subject: a line for the sheet and a fuller text for the page."""

    subject: str
    line: str
    text: str


WHO_DECIDES = "Local code, the maker's manual and licensed trades decide; this drawing does not."

CAUTIONS = (
    Caution(
        "Overhead loads",
        "what hangs from a ceiling or wall needs a structure proven for it; no roof truss without "
        "an engineer's word.",
        "A bar, bag, ring or person hung overhead pulls on what carries it, and a swing or a kick "
        "multiplies the weight. What a ceiling or wall is made of cannot be seen from a plan. "
        "Roof trusses, I-joists and hollow walls carry such loads only with an engineer's word; "
        "do not notch or drill a joist without one. What stands or hangs above head height can "
        "fall: build it with two people and bolt it as its manual says.",
    ),
    Caution(
        "Lifting alone",
        "set catches just under the lowest point of the lift and try them with an empty bar.",
        "A bar that cannot be lifted off has killed people training alone. Catches help only if "
        "they are set: just below the lowest point of the lift, tried with an empty bar. Without "
        "them do not press on a bench or squat alone. Heavy parts want more than one person to "
        "carry; mind stairs, fingers and backs.",
    ),
    Caution(
        "Fixings",
        "before drilling test the wall; look for cables, pipes, membranes, post-tensioned slabs.",
        "A fixing is as good as the wall, ceiling or slab behind it. Test the material, use the "
        "fixing its maker names for it, and look for cables and pipes before drilling. Do not "
        "drill a post-tensioned slab or through a damp-proof membrane. Most tall kit must be "
        "bolted down or to a wall: its manual says how.",
    ),
    Caution(
        "Electricity",
        "find out what feeds the room; new circuits and sockets are an electrician's work.",
        "A running machine, a heater and a freezer together can ask more than a garage's supply "
        "gives. Find out what feeds the room. No machine on an extension lead; new circuits, "
        "sockets and outdoor cables are the work of a licensed electrician and follow local rules.",
    ),
    Caution(
        "Fumes",
        "no running engine, no fuel heater without a flue; fit a carbon monoxide alarm.",
        "An engine or a fuel heater without a flue can kill with carbon monoxide, sooner when "
        "people breathe hard. Run neither in the room, keep a boiler's air openings free, and fit "
        "an alarm. Paint, glue and new rubber give off vapour: air the room until it is gone.",
    ),
    Caution(
        "Glass",
        "keep plates, swings and falls away from mirrors and panes that break into shards.",
        "A dropped plate, a swung weight or a fall breaks glass. Mirrors and low panes near kit "
        "should be of a kind that breaks without shards, backed and fixed for it, and out of the "
        "line of swings. Local rules tell where such glass must be used.",
    ),
    Caution(
        "Escape",
        "keep a way out, main switch, gas and water shut-offs free, also in the dark and with the "
        "power off.",
        "Whoever trains must get out past the kit, also in the dark and with a garage door shut "
        "or its opener dead. Keep the way out, the main switch and the shut-offs of gas and water "
        "free. Rooms in basements and lofts can need a second way out: local code says when.",
    ),
    Caution(
        "Asbestos and dust",
        "old boards, roofs, coatings and tiles may hold asbestos: have them tested before "
        "drilling, sanding or breaking.",
        "Boards, cement roofs, textured coatings and floor tiles of older houses may hold "
        "asbestos, and old paint may hold lead: have them tested before drilling, sanding or "
        "breaking. Drilling and grinding concrete makes silica dust, which harms lungs: wet the "
        "work, draw the dust off, wear the mask its sheet names.",
    ),
)
