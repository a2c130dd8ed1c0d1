"""The command cut: what it prints, its JSON, its exit codes and sentences."""

import json

import pytest

from app.cli import main


def test_as_json(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["cut", "--stock", "6000", "--kerf", "3", "900:4", "1250:6", "--json"]) == 0
    answer = json.loads(capsys.readouterr().out)
    # 4 x 900 + 6 x 1250 = 11100 and ten kerfs: two lengths by hand
    assert (answer["stock_used"], answer["lower_bound"], answer["proven"]) == (2, 2, True)
    cut = {900: 0, 1250: 0}
    for pattern in answer["patterns"]:
        for piece in pattern["pieces"]:
            cut[piece["length"]] += pattern["times"] * piece["count"]
    assert cut == {900: 4, 1250: 6}


def test_chvatal_from_the_command_line(capsys: pytest.CaptureFixture[str]) -> None:
    # Chvatal, Linear Programming, 1983: 453; first fit decreasing uses 485
    assert main(["cut", "--stock", "100", "45:97", "36:610", "31:395", "14:211", "--json"]) == 0
    answer = json.loads(capsys.readouterr().out)
    assert (answer["stock_used"], answer["lower_bound"], answer["proven"]) == (453, 453, True)


def test_as_text(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["cut", "--stock", "2.4 m", "1200:2"]) == 0
    assert capsys.readouterr().out.splitlines() == [
        "   1 x 2400: 2 x 1200, 0 left",
        "1 to buy, 2400 mm, proven least; 0 mm is waste",
    ]


@pytest.mark.parametrize(
    ("arguments", "sentence"),
    [
        (["--stock", "1000", "1250:6"], "1250:6: the piece of 1250 is longer than the stock of "),
        (["--stock", "1000", "--kerf", "-1", "900:4"], "kerf: a kerf of -1 mm: it must be 0 or"),
        (["--stock", "1000", "900:0"], "900:0: a count must be 1 or more"),
        (["--stock", "1000", "900:x"], "900:x: write a length and a count, such as 900:4"),
        (["--stock", "0", "900:4"], "stock: a stock of 0 mm cannot be cut"),
    ],
)
def test_what_is_wrong_is_one_sentence(
    arguments: list[str], sentence: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["cut", *arguments]) == 2
    said = capsys.readouterr()
    assert said.err.startswith(sentence)
    assert said.err.count("\n") == 1
    assert said.out == ""
