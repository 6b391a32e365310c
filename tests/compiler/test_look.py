"""A Look is data; the one thing it works out is how many findings there are of a kind."""

from benchproof.compiler.findings import Severity
from benchproof.compiler.look import Asking, Look
from tests.renderers.batches import findings


def test_findings_are_counted_by_severity() -> None:
    found = findings()
    look = Look(1, "X", "x.bench", Asking(), None, None, "none", tuple(found), None, None, None)
    counts = [look.count(severity) for severity in Severity]
    assert sum(counts) == len(found) > 0
    assert look.count(Severity.ERROR) == len([one for one in found if one.severity is Severity.ERROR])
