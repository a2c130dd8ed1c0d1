"""A figure and the part of the plane that it shows."""

from app.drawing.desk import desk_figure
from app.drawing.framed import through
from app.scene.build import build_scene
from tests.drawing.reading import parse
from tests.layouts import good_layout


def test_the_view_box_is_that_of_the_markup() -> None:
    figure = desk_figure(build_scene(good_layout()))
    assert parse(figure.svg).get("viewBox") == figure.view_box


def test_a_figure_can_show_another_part() -> None:
    figure = desk_figure(build_scene(good_layout()))
    wider = through(figure, "-1 -2 30 40")
    assert parse(wider.svg).get("viewBox") == wider.view_box == "-1 -2 30 40"
    assert through(wider, figure.view_box) == figure
