"""Shares of the draws at which words change: one rule for every sentence that judges a difference."""

from __future__ import annotations

CLEARLY = 0.9  # of the draws one beats the other: a difference to rely on
A_LITTLE = (
    0.65  # up to this share there is no difference to rely on; of 100 draws, three standard errors
)
SURELY = 0.8  # of the draws she gets on plane; under it she does not plane surely
EVENLY = 0.5  # under this share she rather does not plane
