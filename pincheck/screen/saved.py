"""What a saved report holds; the name's ending decides the form."""

from pathlib import Path

from pincheck.reports import json, text
from pincheck.screen.engine import Checked

ABOUT = "The whole report: as text, or as JSON where the name ends in .json."


def report(checked: Checked, path: Path) -> str:
    """Return the report of a check for a file of that name."""
    if path.suffix.lower() == ".json":
        return json.document(checked.result, checked.proposals)
    lines = text.text(checked.result, checked.proposals, reason=checked.machine.reason)
    return "\n".join(lines) + "\n"
