"""One submission: what a customer sent in, and where it lies."""

from attrs import frozen


@frozen
class Submission:
    """What a customer sent in: a file, a folder or an archive below the batch's folder.

    `path` is relative to that folder, with forward slashes; `assembly` is what a manifest names,
    empty without. `fault` says why it cannot be checked at all; empty where it can.
    """

    id: str
    path: str
    assembly: str = ""
    note: str = ""
    fault: str = ""
