"""What is wrong with the records, and what somebody should look at: ``inspect(records)``."""

from bedfellow.traits_db.inspection.inspection import inspect
from bedfellow.traits_db.inspection.remark import Remark

__all__ = ["Remark", "inspect"]
