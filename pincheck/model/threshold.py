"""Figures at which a judgement turns."""


class Threshold(float):
    """A figure that a rule compares with, and what the reference of the rules says of it.

    Comparisons use the very number, so the reference cannot tell another one. `words` say what is
    compared, `unit` is a unit or `share` (told in percent); `below` and `above` what follows just
    there, the figure itself counting with the milder; `source` a data sheet, handbook or
    `common practice`.
    """

    words: str
    unit: str
    source: str
    below: str
    above: str

    def __new__(
        cls, value: float, unit: str, words: str, source: str, *, below: str, above: str
    ) -> "Threshold":
        made = super().__new__(cls, value)
        made.words, made.unit, made.source = words, unit, source
        made.below, made.above = below, above
        return made

    @property
    def said(self) -> str:
        """The figure with its unit."""
        if self.unit == "share":
            return f"{100 * self:.4g} %"
        return f"{self:g} {self.unit}".rstrip()
