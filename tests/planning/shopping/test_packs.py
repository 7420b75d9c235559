"""The cheapest packs: worked cases, laws, and an exact integer program from a general-purpose solver as the referee."""

import os
from fractions import Fraction
from random import Random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from classpack.planning.shopping.packs import Offer, best_packs, least_left

CASES = [  # invented prices; every optimum was found by two integer-program solvers (HiGHS and CP-SAT) as well
    ("sack or bags", 13500, 0, 0, [(1500, 130, None), (16000, 1150, None)], (0, 1), 1150, 2500),
    ("the same, left-overs dear", 13500, 0, 60, [(1500, 130, None), (16000, 1150, None)], (9, 0), 1170, 0),
    ("stock in hand", 3700, 450, 0, [(1000, 115, None), (1500, 150, None), (5000, 520, None)], (2, 1, 0), 380, 250),
    ("small sachets beat the tin", 85, 12, 0, [(7, 12, None), (42, 65, None), (125, 140, None)], (5, 1, 0), 125, 4),
    ("two at most of the big one", 1130, 100, 40, [(200, 210, None), (250, 235, None), (500, 455, 2)], (4, 1, 0), 1075, 20),
    ("mixed bottles", 640, 0, 100, [(230, 310, None), (458, 520, None), (916, 960, None), (4580, 4400, None)], (1, 1, 0, 0), 830, 48),
    ("few on the shelf", 905, 0, 20, [(100, 110, 3), (150, 145, 4), (500, 450, 1)], (0, 3, 1), 885, 45),
    ("left-over cost decides", 8050, 0, 150, [(1000, 190, None), (1500, 245, None), (2500, 395, None), (16000, 1990, None)], (1, 0, 3, 0), 1375, 450),
    ("nothing to buy", 240, 300, 0, [(350, 45, None), (750, 65, None)], (0, 0), 0, 60),
    ("awkward sizes", 24991, 0, 10, [(907, 131, None), (1361, 187, None), (2268, 299, 5), (11340, 1420, 1)], (0, 2, 5, 1), 3289, 411),
]  # fmt: skip


def shelf(offers):
    return [Offer(Fraction(size), price, most) for size, price, most in offers]


@pytest.mark.parametrize(
    ("need", "stock", "spare", "offers", "counts", "pay", "left"),
    [case[1:] for case in CASES],
    ids=[case[0] for case in CASES],
)
def test_worked_cases(need, stock, spare, offers, counts, pay, left):
    found = best_packs(Fraction(need), shelf(offers), Fraction(stock), spare)
    assert (found.counts, found.pay, found.left, found.short) == (counts, pay, left, 0)


def random_case(random: Random):
    sizes = random.sample(
        [7, 42, 100, 125, 150, 200, 250, 340, 454, 500, 750, 907, 1000, 1500, 2500, 5000, 16000],
        random.randint(1, 4),
    )
    offers = [
        (
            size,
            max(1, int(size * random.uniform(0.05, 0.6))),
            random.choice([None, None, None, 1, 2, 3, 5]),
        )
        for size in sizes
    ]
    biggest = max(sizes)
    need = random.randint(1, biggest * random.randint(1, 6))
    stock = random.choice([0, 0, random.randint(0, need)])
    return need, stock, random.choice([0, 0, 10, 60, 150]), offers


def referee(need, stock, spare, offers):
    """The least worth (pay and left-overs, in thousandths of a coin) by HiGHS; None when the shelf does not suffice."""
    import numpy
    from scipy.optimize import Bounds, LinearConstraint, milp

    sizes = numpy.array([size for size, _, _ in offers], dtype=float)
    cost = numpy.array([1000 * price + spare * size for size, price, _ in offers], dtype=float)
    most = [numpy.inf if limit is None else limit for _, _, limit in offers]
    found = milp(
        cost,
        constraints=LinearConstraint(sizes, lb=max(0, need - stock)),
        integrality=numpy.ones(len(offers)),
        bounds=Bounds(0, most),
        options={"mip_rel_gap": 0},
    )
    if found.status == 2:
        return None
    assert found.status == 0
    counts = [round(value) for value in found.x]
    pay = sum(count * price for count, (_, price, _) in zip(counts, offers, strict=True))
    bought = sum(count * size for count, (size, _, _) in zip(counts, offers, strict=True))
    return 1000 * pay + spare * (bought + stock - need)


def test_an_exact_integer_program_finds_nothing_better_in_300_random_cases():
    if os.environ.get("CI") != "true":
        pytest.importorskip("scipy")
    random = Random(20270313)
    compared = 0
    for _ in range(300):
        need, stock, spare, offers = random_case(random)
        best = referee(need, stock, spare, offers)
        found = best_packs(Fraction(need), shelf(offers), Fraction(stock), spare)
        if best is None:
            assert found.short > 0, (need, stock, spare, offers)
            continue
        assert found.short == 0
        assert 1000 * found.pay + spare * found.left == best, (need, stock, spare, offers)
        compared += 1
    assert compared > 200


def everything(need, offers):
    """Every purchase that covers the need without a pack that could be put back, by trying all."""
    found = []

    def add(index, counts, owned):
        if owned >= need:
            found.append(tuple(counts) + (0,) * (len(offers) - len(counts)))
            return
        if index == len(offers):
            return
        size, _, most = offers[index]
        enough = -(-(need - owned) // size)
        for count in range(min(enough, most if most is not None else enough) + 1):
            add(index + 1, [*counts, count], owned + count * size)

    add(0, [], 0)
    return found


small_shelves = st.lists(
    st.tuples(st.integers(2, 12), st.integers(1, 9), st.sampled_from([None, None, 1, 2])),
    min_size=1,
    max_size=3,
)


@given(need=st.integers(1, 40), offers=small_shelves)
def test_ties_go_to_less_left_then_fewer_packs_then_the_first_pack(need, offers):
    tried = everything(need, offers)
    found = best_packs(Fraction(need), shelf(offers))
    if not tried:
        assert found.short > 0
        assert found.counts == tuple(most for _, _, most in offers)
        return

    def rank(counts):
        pay = sum(count * price for count, (_, price, _) in zip(counts, offers, strict=True))
        owned = sum(count * size for count, (size, _, _) in zip(counts, offers, strict=True))
        return pay, owned, sum(counts), tuple(-count for count in counts)

    assert found.counts == min(tried, key=rank)


@given(need=st.integers(1, 40), offers=small_shelves)
def test_the_closest_purchase_leaves_least(need, offers):
    tried = everything(need, offers)
    if not tried:
        return
    found = least_left(Fraction(need), shelf(offers))
    owned = [
        sum(c * size for c, (size, _, _) in zip(counts, offers, strict=True)) for counts in tried
    ]
    assert found.left == min(owned) - need


def test_without_prices_the_least_is_left_over():
    found = best_packs(
        Fraction(700), [Offer(Fraction(500)), Offer(Fraction(250)), Offer(Fraction(1000))]
    )
    assert (found.counts, found.pay, found.left) == ((1, 1, 0), None, 50)


def test_a_pack_without_a_price_is_only_bought_when_the_priced_ones_run_out():
    shelf_ = [Offer(Fraction(500), 100, 1), Offer(Fraction(500))]
    assert best_packs(Fraction(400), shelf_).counts == (1, 0)
    found = best_packs(Fraction(900), shelf_)
    assert found.counts == (1, 1)
    assert found.pay is None


def test_a_shelf_that_is_too_small_says_how_much_is_missing():
    found = best_packs(Fraction(1200), [Offer(Fraction(300), 90, 3)])
    assert (found.counts, found.pay, found.left, found.short) == ((3,), 270, 0, 300)


def test_a_pinch_of_saffron():
    found = best_packs(Fraction(4, 10), [Offer(Fraction(1, 2), 320), Offer(Fraction(1), 580)])
    assert (found.counts, found.left) == ((1, 0), Fraction(1, 10))


def test_forty_kilograms_in_awkward_packs_are_exact():
    offers = [Offer(Fraction(907), 131), Offer(Fraction(1361), 187), Offer(Fraction(11340), 1420)]
    found = best_packs(Fraction(40_000), offers)
    assert (
        sum(c * one.size for c, one in zip(found.counts, offers, strict=True))
        == 40_000 + found.left
    )


@given(
    need=st.integers(0, 3000),
    stock=st.integers(0, 3000),
    offers=st.lists(st.tuples(st.integers(50, 900), st.integers(1, 500)), min_size=1, max_size=4),
)
def test_what_is_bought_and_in_hand_covers_the_need_to_the_gram(need, stock, offers):
    priced = [Offer(Fraction(size), price) for size, price in offers]
    found = best_packs(Fraction(need), priced, Fraction(stock))
    bought = sum(c * one.size for c, one in zip(found.counts, priced, strict=True))
    assert bought + stock - need == found.left
    assert found.left >= 0
