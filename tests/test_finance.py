"""Money formulas against hand-worked annuity tables and against a well-kept finance library."""

from __future__ import annotations

import numpy as np
import numpy_financial as library
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from perf.laws import finance

RATES = st.floats(0.0, 0.3)
FLOWS = st.lists(st.floats(-1e6, 1e6), min_size=2, max_size=30)

# compound interest tables of engineering economy, P/A and A/P, recalled: rate, years, P/A, A/P
TABLE = [
    (0.03, 5, 4.5797, 0.21835),
    (0.04, 8, 6.7327, 0.14853),
    (0.05, 10, 7.7217, 0.12950),
    (0.06, 12, 8.3838, 0.11928),
    (0.07, 15, 9.1079, 0.10979),
    (0.08, 20, 9.8181, 0.10185),
    (0.10, 25, 9.0770, 0.11017),
]


@pytest.mark.parametrize(("rate", "years", "worth", "payment"), TABLE)
def test_annuity_tables(rate: float, years: int, worth: float, payment: float) -> None:
    assert finance.annuity_factor(rate, years) == pytest.approx(worth, abs=5e-5)
    assert finance.capital_recovery_factor(rate, years) == pytest.approx(payment, abs=5e-6)


def test_an_annuity_worked_by_hand() -> None:
    # 1,000 at the end of each of three years at 5 %: 952.381 + 907.029 + 863.838
    assert finance.present_worth([0.0, 1000.0, 1000.0, 1000.0], 0.05) == pytest.approx(
        2723.248, abs=1e-3
    )


@settings(max_examples=150, deadline=None)
@given(FLOWS, RATES)
def test_present_worth_is_that_of_the_library(flow: list[float], rate: float) -> None:
    ours = float(finance.present_worth(np.array(flow), rate))
    theirs = float(library.npv(rate, flow))
    assert ours == pytest.approx(theirs, rel=1e-9, abs=1e-6)


@settings(max_examples=150, deadline=None)
@given(st.floats(1e-6, 0.4), st.integers(1, 40))
def test_annuities_are_those_of_the_library(rate: float, years: int) -> None:
    assert float(finance.annuity_factor(rate, years)) == pytest.approx(
        float(-library.pv(rate, years, 1.0)), rel=1e-8
    )
    assert float(finance.capital_recovery_factor(rate, years)) == pytest.approx(
        float(-library.pmt(rate, years, 1.0)), rel=1e-8
    )


def test_at_its_own_rate_of_return_a_flow_is_worth_nothing() -> None:
    flow = [-28100.0, 4900.0, 5400.0, 5900.0, 6500.0, 7100.0, 7900.0, 8700.0, 14000.0]
    assert finance.present_worth(flow, float(library.irr(flow))) == pytest.approx(0.0, abs=1e-6)


def test_small_rates_pass_into_no_rate() -> None:
    years = np.array([1.0, 7.5, 30.0])
    close = finance.annuity_factor(1e-9, years)
    assert np.allclose(close, years, rtol=1e-6)
    assert np.array_equal(finance.annuity_factor(0.0, years), years)


def test_lanes_alone_are_lanes_in_a_crowd() -> None:
    draw = np.random.default_rng(3)
    flow, rate = draw.normal(0.0, 1e4, (1003, 9)), draw.uniform(0.0, 0.2, 1003)
    whole = finance.present_worth(flow, rate)
    back = finance.payback_years(flow)
    for at in range(0, 1003, 17):
        assert finance.present_worth(flow[at], rate[at]) == whole[at]
        one = finance.payback_years(flow[at])
        assert np.array_equal(one, back[at], equal_nan=True)


def test_payback_is_when_the_running_sum_turns() -> None:
    flow = np.array([-1000.0, 300.0, 300.0, 300.0, 300.0])
    years = float(finance.payback_years(flow))
    assert years == pytest.approx(10.0 / 3.0)
    assert np.isnan(finance.payback_years(flow[:3]))
    assert np.isnan(finance.payback_years(np.array([-1.0, np.nan, 5.0])))


@settings(max_examples=100, deadline=None)
@given(st.floats(-1e5, 1e5), st.floats(-1e4, 1e4))
def test_a_break_even_is_where_nothing_is_left(fixed: float, slope: float) -> None:
    at = float(finance.break_even(fixed, slope))
    if np.isfinite(at):
        assert at >= 0.0
        assert fixed + slope * at == pytest.approx(0.0, abs=1e-6 * max(1.0, abs(fixed)))
