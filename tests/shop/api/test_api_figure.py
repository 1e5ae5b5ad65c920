"""Single figures through the API: the answers of the command, its refusals, and who may ask."""

from __future__ import annotations

import pytest

from routing.figures import FIGURES

BOARD = {"thickness_in": 2, "width_in": 8, "length_in": 96}


def test_board_feet_as_a_sawmill_counts_them(api_of, bench):
    """Against the NHLA's definition: a board foot is 144 cubic inches; 2 in × 8 in × 8 ft holds 10 2/3."""
    response = api_of(bench).post("/api/figure/board-feet/", BOARD, format="json")
    assert response.json() == pytest.approx({"board_feet": 32 / 3})


@pytest.mark.parametrize("name", sorted(FIGURES))
def test_bad_arguments_are_refused_at_their_fields(name, api_of, bench, problems_of):
    response = api_of(bench).post(f"/api/figure/{name}/", {"tide": 1}, format="json")
    assert "tide" in dict(problems_of(response, 400))


def test_a_name_there_is_none_of_is_refused(api_of, bench, problems_of):
    response = api_of(bench).post("/api/figure/tide/", BOARD, format="json")
    assert problems_of(response, 400) == [("document", "unknown-figure")]


def test_a_stranger_is_asked_to_sign_in(api_of, problems_of):
    assert problems_of(api_of().post("/api/figure/emc/", {}, format="json"), 401)
