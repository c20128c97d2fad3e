"""A right and a wrong mating side by side, and which pairs of pins make the difference."""

from functools import cached_property

from pincheck.analysis.mating.solved import Solved
from pincheck.circuit.network import Key
from pincheck.model.frozen import frozen
from pincheck.model.wiring import Fit
from pincheck.wiring.copper import NetKey
from pincheck.wiring.plugs import Mating


@frozen
class Joint:
    """One conductor of a plug: its element, the nets at the pin and behind it, and the pair in
    words."""

    key: Key
    near: NetKey
    far: NetKey | None
    words: str


@frozen(slots=False, eq=False)
class Comparison:
    """Everything that is asked of a wrong mating beside the right one."""

    right: Solved
    wrong: Solved
    mating: Mating

    @cached_property
    def joints(self) -> tuple[Joint, ...]:
        """Every conductor of the plug that meets a pin with a net."""
        copper, found = self.wrong.copper, []
        plugs = {self.mating.connector, self.mating.other}
        for number, cable in enumerate(self.wrong.assembly.cables):
            ends = (cable.from_, cable.to)
            for side, here in enumerate(ends):
                for pair in cable.pairs if here in plugs else ():
                    near = copper.at_pin(here, pair[side])
                    far = copper.at_pin(ends[1 - side], pair[1 - side])
                    if near and far:
                        brings = f"{far[1]} of {copper.label(far[0])}"
                        words = f"{brings} on pin {pair[side]} ({near[1]})"
                        found.append(Joint(("conductor", number, pair), near, far, words))
        for fit in self.wrong.assembly.fits:
            for terminal, pin in enumerate(fit.pins if fit.connector in plugs else ()):
                near = copper.at_pin(fit.connector, pin) if fit.connector else None
                if near and ("lead", fit.name, terminal) in self.wrong.network.elements:
                    wants = fit.part.terminals[terminal]
                    brings = (
                        f"{wants} of" if wants and wants != "any" else f"wire {terminal + 1} of"
                    )
                    words = f"{brings} {fit.name} on pin {pin} ({near[1]})"
                    found.append(Joint(("lead", fit.name, terminal), near, None, words))
        return tuple(found)

    def _amps(self, joint: Joint) -> float:
        return self.wrong.highest_a(self.wrong.network.elements[joint.key])

    def strongest(self) -> tuple[str, ...]:
        """Return the two conductors of the plug that carry most: there and back."""
        loaded = sorted(self.joints, key=lambda joint: -self._amps(joint))
        return tuple(joint.words for joint in loaded[:2] if self._amps(joint) > 0.5)

    def at_net(self, *keys: NetKey) -> tuple[str, ...]:
        """Return for each net the conductor of the plug that brings most to it."""
        found: dict[str, None] = {}
        for key in keys:
            node = set(self.wrong.copper.node(key))
            at = [joint for joint in self.joints if joint.near in node or joint.far in node]
            found |= {joint.words: None for joint in sorted(at, key=lambda it: -self._amps(it))[:1]}
        return tuple(found)[:2]

    def at_part(self, fit: Fit) -> tuple[str, ...]:
        """Return the pairs of a part's own plug, or those that bring something to its nets."""
        own = tuple(it.words for it in self.joints if it.key[:2] == ("lead", fit.name))
        keys = (self.wrong.copper.at_terminal(fit, n) for n in range(len(fit.part.terminals)))
        return own[:2] or self.at_net(*filter(None, keys))
