"""What a template was compiled to is kept for every application, and never outlives its text."""

from pathlib import Path

from flask import Flask, render_template

from app.web.templates import set_templates


def shown(folder: Path) -> str:
    """A page as an application made just now shows it."""
    application = Flask("pages", template_folder=str(folder))
    set_templates(application)
    with application.app_context():
        return render_template("page.html", length="metric", times=(1, 2))


def test_a_template_that_was_changed_is_shown_as_it_is_now(tmp_path: Path) -> None:
    page = tmp_path / "page.html"
    page.write_text("{% for time in times %}\n    {% if time %}\n<b>{{ time }}</b>\n"
                    "    {% endif %}\n{% endfor %}\n")  # fmt: skip
    assert shown(tmp_path) == shown(tmp_path) == "<b>1</b>\n<b>2</b>\n"
    page.write_text("<i>{{ length }}</i>")
    assert shown(tmp_path) == "<i>metric</i>"


def test_templates_of_the_same_name_in_other_folders_are_told_apart(tmp_path: Path) -> None:
    for name in ("owner", "guest"):
        (tmp_path / name).mkdir()
        (tmp_path / name / "page.html").write_text(f"for the {name}")
    assert [shown(tmp_path / name) for name in ("owner", "guest")] == [
        "for the owner",
        "for the guest",
    ]


def test_a_second_application_takes_the_code_of_the_first(tmp_path: Path) -> None:
    (tmp_path / "page.html").write_text("{{ length }}")
    codes = []
    for _ in range(2):
        application = Flask("pages", template_folder=str(tmp_path))
        set_templates(application)
        codes.append(application.jinja_env.get_template("page.html").root_render_func.__code__)
    assert codes[0] is codes[1]
