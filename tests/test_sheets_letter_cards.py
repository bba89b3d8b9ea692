"""Which letters share a card: those that are cut alike."""

from __future__ import annotations

from card_boards import bench

from stopcut.sheets.card_rows import box_heads, place_said
from stopcut.sheets.letter_cards import Card, cards_of


def places(cards: tuple[Card, ...]) -> dict[str, list[list[tuple[int, int]]]]:
    out: dict[str, list[list[tuple[int, int]]]] = {}
    for card in cards:
        out.setdefault(card.char, []).append([standing.key for standing in card.places])
    return out


def test_a_letter_has_one_card_for_all_its_places_of_one_size() -> None:
    assert places(cards_of([bench("LIL", "IT")])) == {"L": [[(1, 1), (1, 3)]], "I": [[(1, 2), (2, 1)]], "T": [[(2, 2)]]}


def test_another_size_and_another_wall_have_cards_of_their_own() -> None:
    for more in ("cap_height = 24", "wall = 50"):
        assert places(cards_of([bench("I", "I", more)])) == {"I": [[(1, 1)], [(2, 1)]]}


def test_every_cut_and_step_of_the_first_place_is_on_its_card() -> None:
    one = bench("LIL", "IT")
    for card in cards_of([one]):
        key = card.places[0].key
        assert [cut.id for cut in card.cuts] == [cut.id for cut in one.plan.cuts if cut.key == key]
        assert [step.step for step in card.steps] == [step for step in one.plan.steps if step.key == key]
        assert [step.number for step in card.steps] == list(range(1, len(card.steps) + 1))


def test_boards_of_a_class_share_cards() -> None:
    hazel, rowan = bench("LIL", "IT", whose="Hazel"), bench("LIL", "IT", whose="Rowan")
    cards = cards_of([hazel, rowan])
    assert len(cards) == 3
    assert [standing.whose for standing in cards[0].places] == ["Hazel", "Hazel", "Rowan", "Rowan"]


def test_boxes_are_named_by_letters_of_one_line_and_else_by_small_letters_that_the_card_explains() -> None:
    letters = {card.char: card for card in cards_of([bench("LIL", "IT")])}
    assert box_heads(letters["L"]) == ["1", "3"]
    assert place_said(letters["L"]) == "letters 1 and 3 of LIL"
    assert box_heads(letters["I"]) == ["a", "b"]
    assert place_said(letters["I"]) == "a letter 2 of LIL; b letter 1 of IT"
    assert box_heads(letters["T"]) == [""]
