"""Print the catalogue as a table: ``python -m tests.catalogue``."""

from tests.catalogue.table import Case, Row, cases


def expected(row: Row) -> str:
    """Return an expected row in a few words."""
    figure = [str(row[part]) for part in ("is", "of") if part in row]
    short = f", short by {row['short']}" if "short" in row else ""
    whom = " ".join(str(row[part]) for part in ("person", "piece", "movement") if part in row)
    return f"{row['severity']}: {row.get('about', '')} {whom} {' of '.join(figure)}{short}".strip()


def line(case: Case) -> str:
    """Return the case as one row of the table."""
    wanted = "; ".join(expected(row) for row in case.says) or "nothing"
    still_open = "; ".join(f"{test}: {why}" for test, why in case.open.items())
    cells = (case.key, case.stands, wanted, case.way, case.no_way, case.source, still_open)
    return "| " + " | ".join(cell.replace("|", "/") for cell in cells) + " |"


print("| case | what stands there | to be said | way out | no way out | source | open |")
print("|---|---|---|---|---|---|---|")
for case in cases():
    print(line(case))
