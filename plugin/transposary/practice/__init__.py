"""What the author has practised: the private record beside the entries, and what it covers.

What to play next is planned in the browser, in one place (`site/assets/wanted/practice/practice-plan.js`).
"""

from transposary.practice.coverage import Cell, Coverage, KeyStrength, Row, coverage
from transposary.practice.record import RECORD, Take, read_record, record_in

__all__ = ["RECORD", "Cell", "Coverage", "KeyStrength", "Row", "Take", "coverage", "read_record", "record_in"]
