"""What was handed over: files, folders, archives or standard input, sorted into machines."""

from pincheck.intake.gather import gather, gather_bytes
from pincheck.intake.machines import Machine, machines, read

__all__ = ["Machine", "gather", "gather_bytes", "machines", "read"]
