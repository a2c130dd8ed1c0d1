"""Write the answers that are kept anew: ``python -m tests.answers --write [group ...]``."""

import argparse

from tests.answers.kept import GROUPS, answer, kept, names, write


def main() -> None:
    """Write, or say which plans are answered otherwise than they were."""
    parser = argparse.ArgumentParser(prog="python -m tests.answers", description=__doc__)
    parser.add_argument("--write", action="store_true", help="write them; else only compare")
    parser.add_argument("group", nargs="*", choices=[[], *GROUPS], help="only these")
    asked = parser.parse_args()
    for group in asked.group or GROUPS:
        other = [name for name in names(group) if answer(group, name) != kept(group).get(name)]
        print(f"{group}: {len(other)} of {len(names(group))} answered otherwise", *other[:5])
        if asked.write and (other or kept(group).keys() - {*names(group)}):
            write(group)


if __name__ == "__main__":
    main()
