"""Cutting sets whose least stock is known, each with its source, and the ways that fall short."""

from collections.abc import Sequence

# Chvatal, Linear Programming, 1983, chapter 13: stock 100, 453 rolls.
CHVATAL = ((45, 97), (36, 610), (31, 395), (14, 211))

# The paper machine of the encyclopaedia article "Cutting stock problem": stock 5600 mm, 73 rolls.
PAPER_MACHINE = (
    (1380, 22),
    (1520, 25),
    (1560, 12),
    (1710, 14),
    (1820, 18),
    (1880, 18),
    (1930, 20),
    (2000, 10),
    (2050, 12),
    (2100, 14),
    (2140, 16),
    (2150, 18),
    (2200, 20),
)

# Falkenauer, A hybrid grouping genetic algorithm for bin packing, 1996: t60_00 of the OR-Library,
# capacity 100, 60 pieces; its 20 triples fill 20 stocks to the last.
TRIPLETS = (
    (36.6, 26.8, 36.6),
    (43.0, 26.3, 30.7),
    (41.4, 28.7, 29.9),
    (49.5, 25.1, 25.4),
    (47.4, 25.2, 27.4),
    (37.0, 26.9, 36.1),
    (47.3, 25.2, 27.5),
    (47.2, 25.9, 26.9),
    (44.4, 25.8, 29.8),
    (43.9, 27.3, 28.8),
    (44.5, 27.2, 28.3),
    (41.9, 26.1, 32.0),
    (36.3, 27.1, 36.6),
    (35.5, 27.3, 37.2),
    (46.6, 26.2, 27.2),
    (35.7, 29.2, 35.1),
    (39.5, 25.5, 35.0),
    (35.0, 30.3, 34.7),
    (45.0, 25.2, 29.8),
    (41.0, 27.5, 31.5),
)

# Scholl, Klein, Juergens, BISON, Computers & Operations Research 24, 1997: data set 1, N1C1W1_A,
# capacity 100, 50 pieces, 25 stocks.
SCHOLL = [
    *(99, 99, 96, 96, 92, 92, 91, 88, 87, 86, 85, 76, 74, 72, 69, 67, 67, 62, 61, 56, 52, 51),
    *(49, 46, 44, 42, 40, 40, 33, 33, 30, 30, 29, 28, 28, 27, 25, 24, 23, 22, 21, 20, 17, 14),
    *(13, 11, 10, 7, 7, 3),
]


def filled(seed: int, bars: int = 20, stock: int = 1000) -> list[tuple[float, int]]:
    """Three pieces from each of so many stocks, without a rest: the least stock is known.

    Lengths as in Falkenauer's triplets; a plain congruence gives the same set everywhere.
    """
    pieces: list[int] = []
    state = seed
    for _ in range(bars):
        state = (state * 1103515245 + 12345) % 2**31
        long = 380 + state // 65536 % 111
        state = (state * 1103515245 + 12345) % 2**31
        short = 250 + state // 65536 % ((stock - long) // 2 - 249)
        pieces += [long, short, stock - long - short]
    return [(piece, 1) for piece in pieces]


def first_fit_decreasing(pieces: Sequence[tuple[float, int]], stock: float) -> int:
    """The usual rule of thumb: longest first, each into the first bar with room."""
    left: list[float] = []
    for length, count in sorted(pieces, reverse=True):
        for _ in range(count):
            for i, room in enumerate(left):
                if length <= room + 1e-9:
                    left[i] -= length
                    break
            else:
                left.append(stock - length)
    return len(left)
