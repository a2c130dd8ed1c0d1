"""The words of sheets as a browser sets them: where their ink is on paper, in mm."""

import math
from typing import Any

import shapely
from playwright.sync_api import Page

from tests.drawing.boxes import Lettered

# Of each text: how far its signs reach from where it begins, by the browser's own measure of the
# very font it is set in, and the four corners of that on the paper of its sheet.
MEASURE = """
async () => {
    await document.fonts.ready;
    const pen = document.createElement('canvas').getContext('2d');
    const fine = 16;
    return [...document.querySelectorAll('main > div > svg')].map((svg) => {
        const paper = svg.getScreenCTM().inverse();
        const view = svg.viewBox.baseVal;
        const texts = [];
        for (const text of svg.querySelectorAll('text')) {
            if (!text.textContent.trim()) continue;
            const style = getComputedStyle(text);
            const em = parseFloat(style.fontSize);
            pen.font = `${style.fontWeight} ${100 * fine}px ${style.fontFamily}`;
            const share = em / (100 * fine);
            const ink = pen.measureText(text.textContent);
            const capital = pen.measureText('H').actualBoundingBoxAscent;
            const wide = text.getComputedTextLength();
            const start = text.getStartPositionOfChar(0);
            const from = text.getBBox().x;
            const at = paper.multiply(text.getScreenCTM());
            const corner = (x, y) => {
                const p = new DOMPoint(x, y).matrixTransform(at);
                return [p.x, p.y];
            };
            const left = from - ink.actualBoundingBoxLeft * share;
            const right = from + ink.actualBoundingBoxRight * share;
            const top = start.y - ink.actualBoundingBoxAscent * share;
            const foot = start.y + ink.actualBoundingBoxDescent * share;
            texts.push({
                words: text.textContent,
                ink: text.dataset.ink || '',
                corners: [
                    corner(left, top), corner(right, top), corner(right, foot), corner(left, foot),
                ],
                turn: Math.atan2(at.b, at.a),
                capital: capital * share * Math.hypot(at.a, at.b),
                set: wide / (ink.width * share),
                family: style.fontFamily,
                loaded: document.fonts.check(pen.font),
            });
        }
        return { wide: view.width, high: view.height, texts };
    });
}
"""
HAIR_MM = 0.05
"""What rounding leaves: coordinates are written to a hundredth of a mm or finer."""


def faults_of(page: Page) -> list[tuple[str, ...]]:
    """What is wrong with the words of the sheets on a page: in no frame, in one another, ..."""
    found: list[tuple[str, ...]] = []
    sheets: list[dict[str, Any]] = page.evaluate(MEASURE)
    assert sheets
    for sheet in sheets:
        texts = sheet["texts"]
        assert len(texts) > 10
        words = [_lettered(text) for text in texts]
        found += [("font", t["words"]) for t in texts if not t["loaded"]]
        # signs side by side as wide as they are alone: set in that font and in no other
        found += [("set", t["words"], str(t["set"])) for t in texts if abs(t["set"] - 1) > 0.01]
        found += [("low", one.words) for one in words if one.capital_mm < 2.5 - 0.03]
        found += [("turned", one.words) for one in words if not one.upright]
        frame = shapely.box(20, 10, sheet["wide"] - 10, sheet["high"] - 10).buffer(HAIR_MM)
        found += [
            ("outside", one.words)
            for one in words
            if one.ink != "zone" and not frame.covers(one.box)
        ]
        found += [("meet", *pair) for pair in _meeting(words)]
    return found


def _lettered(text: dict[str, Any]) -> Lettered:
    turn = math.degrees(text["turn"])
    box = shapely.Polygon(text["corners"])
    return Lettered(text["words"], box, text["capital"], text["ink"], -91 < turn < 90)


def _meeting(words: list[Lettered]) -> list[tuple[str, str]]:
    shrunk = [one.box.buffer(-HAIR_MM) for one in words]
    tree = shapely.STRtree(shrunk)
    return [
        (words[i].words, words[j].words)
        for i, j in zip(*tree.query(shrunk, predicate="intersects"), strict=True)
        if i < j and shrunk[i].intersection(shrunk[j]).area > 0
    ]
