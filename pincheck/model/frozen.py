"""The one way in which classes are made here: frozen, with slots, and without a printed form.

Half of what a short command spends on building classes goes into their printed forms, which it
never prints. A class whose instances stand in a sentence asks for its own: `@frozen(repr=True)`.
"""

from functools import partial
from typing import TYPE_CHECKING

import attrs

if TYPE_CHECKING:
    from attrs import frozen as frozen
else:
    frozen = partial(attrs.frozen, repr=False)
