"""How long the shipped larder takes to load, and how long the hardest purchase takes. Run by hand; asserts nothing.

python tests/benchmarks/larder_and_packs.py
"""

from fractions import Fraction
from time import perf_counter

from classpack.planning.shopping.packs import Offer, best_packs
from classpack.reading.shipped_larder import package_larder


def main() -> None:
    """Print milliseconds."""
    start = perf_counter()
    package_larder()
    print(f"shipped larder: {1000 * (perf_counter() - start):.1f} ms")
    for name, need, shelf in (
        ("40 kg of flour", 40_000, [(1000, 115), (1500, 150), (16_000, 1150)]),
        ("40 kg in odd packs", 40_000, [(907, 131), (1361, 187), (2268, 299), (11_340, 1420)]),
        ("2 kg in sachets", 2000, [(7, 25), (11, 37), (125, 210), (500, 540)]),
        ("40 kg in sachets", 40_000, [(7, 12), (42, 65), (125, 140)]),
    ):
        start = perf_counter()
        best_packs(Fraction(need), [Offer(Fraction(size), price) for size, price in shelf])
        print(f"{name}: {1000 * (perf_counter() - start):.1f} ms")


if __name__ == "__main__":
    main()
