"""A session's colours worked out again: they agree, a fault is found and located, and the gate holds."""

import numpy as np
import pytest

from evaluation.entry import Draft
from evaluation.errors import UsageProblem
from evaluation.work import numbers
from evaluation.work.bench import Bench, sheet_of
from evaluation.work.log import say, session
from evaluation.work.look import look
from evaluation.work.numbers import Numbers

SPECTRA = "CIELAB of spectra, D50"


def kind(found: Numbers, what: str) -> numbers.Held:
    return next(held for held in found.held if held.what == what)


def test_the_demos_numbers_are_those_of_colour_science(bench: Bench) -> None:
    found = numbers.check_numbers(bench, 2)
    assert found.agree and found.waiting == () and found.remarks == ()
    assert kind(found, SPECTRA).largest < 1e-6
    assert kind(found, "visual density").largest < 1e-6
    assert kind(found, "CIELAB under LED-B3, CAT16").largest < 0.05
    assert kind(found, "difference from the aim").largest < 1e-9
    assert all(held.numbers > 100 and held.where for held in found.held)


def test_a_fault_of_ours_is_found_and_located(bench: Bench, monkeypatch: pytest.MonkeyPatch) -> None:
    """One reading in a thousand too dark by a hundredth of its light."""
    ours = numbers.xyz_from_spectra

    def at_fault(nm: numbers.Array, spectra: numbers.Array) -> numbers.Array:
        xyz = ours(nm, spectra)
        xyz[7] *= 0.99
        return xyz

    monkeypatch.setattr(numbers, "xyz_from_spectra", at_fault)
    found = numbers.check_numbers(bench, 2)
    held = kind(found, SPECTRA)
    assert not found.agree and not held.agrees and held.largest > 0.1
    assert held.where.startswith("baryta-mono-profile.txt, ")
    assert kind(found, "visual density").agrees


def test_what_is_not_graded_is_not_computed(bench: Bench, monkeypatch: pytest.MonkeyPatch) -> None:
    """A second observer begins, then grades one region: only that one is worked out."""
    seen: list[int] = []
    ours = numbers.xyz_from_spectra
    monkeypatch.setattr(
        numbers, "xyz_from_spectra", lambda nm, spectra: (seen.append(len(spectra)), ours(nm, spectra))[1]
    )
    whole = kind(numbers.check_numbers(bench, 3), SPECTRA).numbers
    assert sum(seen) == whole
    seen.clear()
    viewing = look.start(bench, 3, observer="second")
    with pytest.raises(UsageProblem, match="its regions are not graded yet"):
        numbers.check_numbers(bench, 3)
    assert seen == []
    region = next(region for region in sheet_of(bench, session(bench, 3)).regions if region.id == "mono_tone")
    assert region.whole is not None
    say(bench, 3, [Draft("answer", f"{region.id}/{region.whole.id}", {"grade": 4}, viewing.id)])
    found = numbers.check_numbers(bench, 3)
    assert 0 < sum(seen) == kind(found, SPECTRA).numbers < whole
    assert region.title not in found.waiting and len(found.waiting) > 1


def test_nothing_read_is_said(bench: Bench) -> None:
    with pytest.raises(
        UsageProblem, match="No number of session 6 was checked: nothing with a colour was read"
    ):
        numbers.check_numbers(bench, 6)


def test_uneven_bands_have_their_own_limit_and_a_remark(bench: Bench) -> None:
    nm = np.sort(np.r_[np.arange(380.0, 731.0, 10), 383.0])
    (held,) = numbers._held("a kind", "dE*ab", np.array([0.1, 0.4, np.nan]), ["a", "b", "c"], even=False)
    assert (held.numbers, held.largest, held.where, held.agrees) == (2, 0.4, "b", True)
    assert not numbers.second_opinion.is_even(nm)
