"""A working space has a least depth, and so can stop a plan, only where a sheet gives one."""

from app.library.kit import kit_types

SHEETS = {
    # behind a belt: 1000 (ASTM F2115, as quoted in the register); beyond a bar's end: the thickest
    # plate and the fingers, without which it cannot be loaded
    "behind-the-belt": 1000,
    "beyond-the-left-end": 150,
    "beyond-the-right-end": 150,
}


def test_only_what_a_sheet_gives_a_least_for_has_one() -> None:
    leasts = {
        (kit.key, space.key): space.least_mm
        for kit in kit_types().values()
        for space in kit.spaces
        if space.least_mm > 0
    }
    assert leasts
    assert [key for key, least in leasts.items() if SHEETS.get(key[1]) != least] == []
