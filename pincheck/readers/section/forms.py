"""What a line of the section style may be."""

import re

from pincheck.readers.mistakes import Mistake

COMMENT = re.compile(r"#|(?<=\s);")
"""Where an inline comment begins: `#` anywhere, `;` after a blank."""

FORMS = "`[section]`, `key: value`, or `#` in front of a remark"
UNEXPLAINED = Mistake(0, "words that are no setting and no remark", FORMS)
