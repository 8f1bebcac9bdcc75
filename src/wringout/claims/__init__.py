"""The maker's claims against what was flown: evidence, its arithmetic in words, and a verdict."""

from wringout.claims.asking import question_of, told_by_points
from wringout.claims.judging import judge
from wringout.claims.verdict import Evidence, Finding, Verdict

__all__ = ["Evidence", "Finding", "Verdict", "judge", "question_of", "told_by_points"]
