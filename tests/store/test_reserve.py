"""Room laid by on the disk: 32 pages of 4096 bytes, once, and given back whole."""

from pathlib import Path

from app.store.reserve import BYTES, NAME, give_up, lay_by


def test_it_is_laid_by_once_filled_up_and_given_back(tmp_path: Path) -> None:
    file = tmp_path / NAME
    lay_by(tmp_path)
    first = file.read_bytes()
    assert len(first) == BYTES == 32 * 4096
    # of chance: nothing that a disk could pack
    assert len(set(first[:4096])) > 200
    lay_by(tmp_path)
    assert file.read_bytes() == first
    # a disk that had room for a part of it only has the rest put to it
    file.write_bytes(first[:5000])
    lay_by(tmp_path)
    filled = file.read_bytes()
    assert BYTES <= len(filled) < BYTES + 4096
    assert filled[:5000] == first[:5000]
    give_up(tmp_path)
    assert not file.exists()
    # there is none to give: no fault; no folder to keep it in: none either
    give_up(tmp_path)
    lay_by(tmp_path / "nowhere")
    assert list(tmp_path.iterdir()) == []
