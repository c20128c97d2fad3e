"""The first power-on at the bench: what to measure, what to expect, what a reading means."""

from pincheck.bench.step import Judgement, TestPoint, WalkStep, judge, parse
from pincheck.bench.walk import walk

__all__ = ["Judgement", "TestPoint", "WalkStep", "judge", "parse", "walk"]
