"""Published networks and instances as data: where each was printed, and what it says comes out."""

from __future__ import annotations

from dataclasses import dataclass

Published = dict[str, tuple[float, float, float, float, float]]
"""Of each activity: earliest start and finish, latest start and finish, total float."""


@dataclass(frozen=True)
class Printed:
    """A network as it was printed, with its table. `before` names what each activity waits for."""

    source: str
    before: dict[str, str]
    lasts: dict[str, float]
    table: Published
    duration: float


def _on_arrows(source: str, rows: str) -> Printed:
    """Return a network of activities between numbered events: "1-3 10 0 10 0 10 0" and so on."""
    table: Published = {}
    lasts: dict[str, float] = {}
    for line in rows.strip().splitlines():
        name, *numbers = line.split()
        lasts[name], *rest = map(float, numbers)
        table[name] = (rest[0], rest[1], rest[2], rest[3], rest[4])
    before = {
        name: " ".join(other for other in table if other.split("-")[1] == name.split("-")[0])
        for name in table
    }
    return Printed(source, before, lasts, table, max(row[1] for row in table.values()))


def _on_nodes(source: str, rows: str) -> Printed:
    """Return a network of activities that name what they wait for: "B 2 A 6 8 6 8"."""
    table: Published = {}
    lasts: dict[str, float] = {}
    before: dict[str, str] = {}
    for line in rows.strip().splitlines():
        name, last, waits, *numbers = line.split()
        es, ef, ls, lf = map(float, numbers)
        lasts[name], before[name] = float(last), waits.replace("+", " ").strip("-")
        table[name] = (es, ef, ls, lf, ls - es)
    return Printed(source, before, lasts, table, max(row[1] for row in table.values()))


PRINTED = {
    "taylor-1": _on_arrows(
        "Taylor, Introduction to Management Science, solutions to chapter 8, first table; as put "
        "on a document-sharing page, seen there",
        """
        1-2 7 0 7 2 9 2
        1-3 10 0 10 0 10 0
        2-4 6 7 13 9 15 2
        3-4 5 10 15 10 15 0
        3-5 4 10 14 14 18 4
        4-5 3 15 18 15 18 0
        5-6 2 18 20 18 20 0
        """,
    ),
    "taylor-2": _on_arrows(
        "the same, second table",
        """
        1-2 8 0 8 1 9 1
        1-3 10 0 10 0 10 0
        1-4 9 0 9 6 15 6
        2-5 6 8 14 9 15 1
        2-6 4 8 12 16 20 8
        3-5 5 10 15 10 15 0
        4-5 0 9 9 15 15 6
        4-7 7 9 16 20 27 11
        5-7 12 15 27 15 27 0
        5-8 15 15 30 16 31 1
        6-9 18 12 30 20 38 8
        7-8 4 27 31 27 31 0
        8-9 7 31 38 31 38 0
        """,
    ),
    "prototype": _on_nodes(
        "a teaching sheet, Example 1: draw the network for the events in Table 1, on a "
        "document-sharing page, seen there",
        """
        A 6 - 0 6 0 6
        B 2 A 6 8 6 8
        C 2 A 6 8 7 9
        D 3 B 8 11 8 11
        E 4 D+F 11 15 11 15
        F 2 C 8 10 9 11
        G 1 E 15 16 15 16
        """,
    ),
    "homework": _on_nodes(
        "a solved exercise on a page of exercises, ten tasks in 20 days, seen there",
        """
        A 8 - 0 8 0 8
        B 4 - 0 4 7 11
        C 3 - 0 3 5 8
        D 5 A 8 13 8 13
        E 1 A 8 9 10 11
        F 2 C 3 5 9 11
        G 7 D 13 20 13 20
        H 6 C 3 9 8 14
        I 9 E+B+F 9 18 11 20
        J 6 H 9 15 14 20
        """,
    ),
    "information-system": _on_nodes(
        "Vanhoucke, Integrated Project Management and Control, 2014, page 6, Project 1: Cost "
        "Information System; network and times as in the tests of an open R package on the method",
        """
        1 1 - 0 1 0 1
        2 2 1 1 3 1 3
        3 2 1 1 3 3 5
        4 4 2 3 7 3 7
        5 3 2 3 6 4 7
        6 3 2 3 6 4 7
        7 3 3 3 6 5 8
        8 2 3 3 5 6 8
        9 1 3 3 4 7 8
        10 1 3 3 4 7 8
        11 2 4+5+6 7 9 7 9
        12 1 7 6 7 8 9
        13 1 8 5 6 8 9
        14 1 9 4 5 8 9
        15 1 10 4 5 8 9
        16 2 11+12+13+14+15 9 11 9 11
        17 1 11+12+13+14+15 9 10 10 11
        """,
    ),
    "nine": _on_nodes(
        "the tests of an open library on activity graphs, nine activities on nodes, seen there",
        """
        1 6 - 0 6 2 8
        2 7 - 0 7 1 8
        3 8 - 0 8 0 8
        4 11 2 7 18 11 22
        5 8 1+2+3 8 16 8 16
        6 7 3 8 15 15 22
        7 4 4 18 22 22 26
        8 4 4+6 18 22 22 26
        9 10 5 16 26 16 26
        """,
    ),
}

J301 = """
1 0 - 0 2,3,4
2 8 1 4 6,11,15
3 4 1 10 7,8,13
4 6 4 3 5,9,10
5 3 1 3 20
6 8 4 8 30
7 5 1 4 27
8 9 2 1 12,19,27
9 2 1 6 14
10 7 4 1 16,25
11 9 2 5 20,26
12 2 2 7 14
13 6 1 4 17,18
14 3 2 8 17
15 9 1 3 25
16 10 4 5 21,22
17 6 4 8 22
18 5 4 7 20,22
19 3 2 1 24,29
20 7 2 10 23,25
21 2 4 6 28
22 7 1 2 23
23 2 1 3 24
24 3 2 9 30
25 3 1 4 30
26 7 3 4 31
27 8 4 7 28
28 3 2 8 31
29 7 2 7 32
30 2 2 7 32
31 2 3 2 32
32 0 - 0 -
"""
"""Instance j301_1 of PSPLIB (R. Kolisch and A. Sprecher, PSPLIB, European Journal of Operational
Research 96, 1997): job, time, the one resource it takes, how much of it, what follows. Four
resources of 12, 13, 4 and 12. Its header says 38 without limits; its optimum is 43."""
J301_RESOURCES = {"1": 12, "2": 13, "3": 4, "4": 12}
J301_UNLIMITED, J301_OPTIMUM = 38, 43

SHOPS = {
    # H. Fisher and G. L. Thompson, 1963: 6 jobs on 6 machines, optimum 55; 10 on 10, optimum 930
    "ft06": (55, """
2 1 0 3 1 6 3 7 5 3 4 6
1 8 2 5 4 10 5 10 0 10 3 4
2 5 3 4 5 8 0 9 1 1 4 7
1 5 0 5 2 5 3 3 4 8 5 9
2 9 1 3 4 5 5 4 0 3 3 1
1 3 3 3 5 9 0 10 4 4 2 1
"""),
    "ft10": (930, """
0 29 1 78 2 9 3 36 4 49 5 11 6 62 7 56 8 44 9 21
0 43 2 90 4 75 9 11 3 69 1 28 6 46 5 46 7 72 8 30
1 91 0 85 3 39 2 74 8 90 5 10 7 12 6 89 9 45 4 33
1 81 2 95 0 71 4 99 6 9 8 52 7 85 3 98 9 22 5 43
2 14 0 6 1 22 5 61 3 26 4 69 8 21 7 49 9 72 6 53
2 84 1 2 5 52 3 95 8 48 9 72 0 47 6 65 4 6 7 25
1 46 0 37 3 61 2 13 6 32 5 21 9 32 8 89 7 30 4 55
2 31 0 86 1 46 5 74 4 32 6 88 8 19 9 48 7 36 3 79
0 76 1 69 3 76 5 51 2 85 9 11 6 40 7 89 4 26 8 74
1 85 0 13 2 61 6 7 8 64 9 76 5 47 3 52 4 90 7 45
"""),
    # S. Lawrence, 1984: 10 jobs on 5 machines, optimum 666
    "la01": (666, """
1 21 0 53 4 95 3 55 2 34
0 21 3 52 4 16 2 26 1 71
3 39 4 98 1 42 2 31 0 12
1 77 0 55 4 79 2 66 3 77
0 83 3 34 2 64 1 19 4 37
1 54 2 43 4 79 0 92 3 62
3 69 4 77 1 87 2 87 0 93
2 38 0 60 1 41 3 24 4 83
3 17 1 49 4 25 0 44 2 98
4 77 3 79 2 43 1 75 0 96
"""),
}  # fmt: skip
"""Job shops of the OR-Library with their known optima: each row a job, machine and time in turn."""
