"""The questions in their order."""

from collections.abc import Mapping
from pathlib import Path

from pincheck.analysis import roles
from pincheck.chips import chip
from pincheck.interview import answered
from pincheck.interview.dialogue import UNKNOWN, BackError, Dialogue, NoAnswerError, Take
from pincheck.interview.told import BoardTold, CableTold, PartTold, Told
from pincheck.model.nearest import nearest
from pincheck.model.role import is_role, names, order, split
from pincheck.model.wiring import Part
from pincheck.wiring import schema
from pincheck.wiring.fitting import kinds_for
from pincheck.wiring.parts import built_in

GROUPS: Mapping[str, tuple[str, ...]] = {
    "The hot end": ("hotend.heater", "hotend.sensor", "hotend.block", "hotend.fan"),
    "The tool head": ("part.fan", "probe.signal", "extruder.motor", "filament.sensor"),
    "The bed": ("bed.heater", "bed.sensor", "bed.plate"),
    "The axes": ("x.endstop", "y.endstop", "z.endstop", "x.motor", "y.motor", "z.motor"),
}
"""The roles that are asked for one by one; any other is named by the user."""

_SWITCH, _PULL = schema.NET["switch"].keys, schema.NET["pullup"].keys
_WIRE = schema.FIT["wire"].keys
_PLAIN = frozenset(("any", "coil", ""))
"""What needs no question after its pins: whichever way round, it does the same."""


def interview(dialogue: Dialogue, start: Path) -> Told:
    """Ask everything that is not answered yet; files are named relative to the folder `start`.

    Raises:
        LeftError: the user left.
    """
    while True:
        try:
            return _Interview(dialogue, start).told()
        except BackError:
            continue


class _Interview:
    def __init__(self, dialogue: Dialogue, start: Path) -> None:
        self.ask, self.tell, self.start = dialogue.ask, dialogue.tell, start

    def told(self) -> Told:
        name = self.ask("machine", "What is the machine called?", answered.text("my machine"))
        self.told_ = Told(name, self._main())
        self._tool()
        for title, listed in GROUPS.items():
            self.tell(title, "Part: a name of the catalogue, words that search it, Enter for none.")
            for role in listed:
                self._part(role)
        self._further()
        self._limits()
        return self.told_

    def _main(self) -> BoardTold:
        self.tell("The mainboard")
        question = "Path of its board file, if there is one; Enter: describe it here."
        found = self.ask("main.file", question, answered.board_file(self.start))
        if found:
            return BoardTold.of_file(*found)
        board = BoardTold(
            self.ask("main.name", "What is it called?", answered.text("mainboard")),
        )
        question = "Which chip is on it? Part of the name lists them."
        chip_name = self.ask("main.chip", question, answered.chip_name)
        volts = self.ask("main.supply_v", "Supply in V?", answered.number(schema.BOARD["supply_v"]))
        board.about = {"chip": chip_name or "unknown", "supply_v": volts}
        self.tell(
            "Its sockets, those that something is plugged into",
            "Pins from pin 1 on: a supply (24V, 5V, GND), the chip pin that leads there (PC8), the "
            "end of a motor's coil (X_1A X_1B X_2A X_2B), - for an empty one, ? if not known.",
        )
        self._sockets("main", board, answered.main_pins(chip_name))
        question = "Its own names for chip pins, as gcode scripts give them: e0heat=PB1 bed=PA8?"
        board.names = self.ask("main.names", question, answered.pin_names(chip_name))
        question = "Its name in the define style, what MOTHERBOARD is set to? Enter: none."
        identifier = self.ask("main.identifier", question, answered.maybe)
        board.about["identifiers"] = [identifier] if identifier else None
        for carried in (pin for pins in board.sockets.values() for pin in pins):
            if carried not in ("-", UNKNOWN) and not answered.is_rail(carried):
                own = {} if answered.coil_driver(carried) else {"chip_pin": carried}
                board.nets.setdefault(carried, own)
        return board

    def _sockets(self, key: str, board: BoardTold, take: Take[tuple[str, ...]]) -> None:
        while True:
            asked = f"{key}.socket{len(board.sockets) + 1}"
            known = tuple(board.sockets)
            name = self.ask(asked, "Name of a socket? Enter: no more.", answered.name(known))
            if not name:
                return
            board.sockets[name] = self.ask(f"{asked}.pins", f"Pins of {name}?", take)

    def _tool(self) -> None:
        self.tell("A board between the mainboard and the parts, such as a breakout")
        question = "Is there one: none, file, describe?"
        how = self.ask("tool", question, answered.choice("none", "file", "describe", empty="none"))
        if how == "file":
            found = self.ask("tool.file", "Path of its file?", answered.board_file(self.start))
            self.told_.tool = BoardTold.of_file(*found) if found else None
        elif how == "describe":
            board = BoardTold(self.ask("tool.name", "Its name?", answered.text("breakout")))
            self.tell(
                "The plug of its cable, then its sockets",
                "Pins from pin 1 on: a supply, or any name for what comes over the cable (HEAT).",
            )
            question = "Name of the plug that its cable goes to?"
            link = self.ask("tool.link", question, answered.text("link"))
            pins = self.ask("tool.link.pins", f"Pins of {link}?", answered.tool_pins(()))
            board.sockets[link] = pins
            self._sockets("tool", board, answered.tool_pins(pins))
            for carried in pins:
                if carried not in ("-", UNKNOWN) and not answered.is_rail(carried):
                    board.nets.setdefault(carried, {})
            self.told_.tool = board
        if self.told_.tool:
            self._cable(self.told_.tool)

    def _cable(self, tool: BoardTold) -> None:
        main = [f"main.{name}" for name in self.told_.main.sockets]
        far = [f"tool.{name}" for name in tool.sockets]
        start = self.ask("cable.from", "Its cable begins at which socket?", answered.socket(main))
        end = self.ask(
            "cable.to", f"... and ends at which? Enter: {far[0]}.", answered.socket(far, far[0])
        )
        if not start or not end:
            return
        lengths = len(self.told_.pins(start)), len(tool.sockets[end.partition(".")[2]])
        question = "Joined how: straight (pin 1 to pin 1), mirrored, or pairs such as 1-2 2-1?"
        self.told_.cable = cable = CableTold(start, end)
        cable.wiring = self.ask("cable.wiring", question, answered.pairs(lengths))
        awg = self.ask("cable.awg", "Gauge of its wires (AWG)?", answered.number(_WIRE["awg"]))
        length = self.ask("cable.length_m", "Length in m?", answered.number(_WIRE["length_m"]))
        if awg is not None and length is not None:
            cable.wire = {"awg": int(awg), "length_m": length}

    def _part(self, role: str) -> None:
        title = roles.name(role)
        take = answered.part(tuple(built_in()[0].values()), kinds_for(role))
        part = self.ask(f"{role}.part", f"{title}: which part?", take)
        if part == UNKNOWN and not set(kinds_for(role)) & _WITHOUT_WIRES:
            self.told_.unknown[role] = "which part it is"
        if isinstance(part, str):
            return
        if not part.terminals:
            self.told_.parts.append(PartTold(role, part))
            return
        ends = self.told_.ends()
        question = f"{title}: at which socket? {' '.join(ends)}"
        at = self.ask(f"{role}.at", question, answered.socket(ends))
        if not at:
            self.told_.unknown[role] = "at which socket it is"
            return
        carried = self.told_.pins(at)
        pins = self._order(role, part, at, carried)
        reached = [self.told_.behind(at, carried[pin - 1]) for pin in pins]
        if not pins:
            self.told_.unknown[role] = "how its plug sits"
        elif any(UNKNOWN in behind for behind in reached):
            self.told_.unknown[role] = f"what a pin of {at} leads to"
        elif why := self._electrics(role, part, reached):
            self.told_.unknown[role] = why
        else:
            self.told_.parts.append(PartTold(role, part, at, pins))

    def _order(self, role: str, part: Part, at: str, carried: tuple[str, ...]) -> tuple[int, ...]:
        wants = part.terminals
        taken = self.told_.taken(at)
        if len(wants) == len(carried) and set(wants) <= _PLAIN and not taken:
            return tuple(range(1, len(wants) + 1))
        question = (
            f"Its wires are {', '.join(it or 'open' for it in wants)}; {at} carries "
            f"{', '.join(carried)}. The pin of each wire, from 1? Enter: in this order."
        )
        return self.ask(f"{role}.pins", question, answered.order(wants, len(carried), taken))

    def _electrics(self, role: str, part: Part, reached: list[set[str]]) -> str:
        """Ask what stands between chip and part; return what is not known of it, else empty."""
        board = self.told_.main
        if board.board:
            return ""
        if split(role)[2] == "motor":
            return self._driver({it for behind in reached for it in behind})
        for wants, behind in zip(part.terminals, reached, strict=True):
            for pin in sorted(behind & board.nets.keys()):
                if wants == "switched" or (wants == "any" and part.kind not in _READ):
                    question = (
                        f"{pin} switches it, by a transistor between part and ground (low, the "
                        f"usual) or between supply and part (high)?"
                    )
                    take = answered.choice("low", "high")
                    side = self.ask(f"main.{pin}.switch", question, take)
                    if not side:
                        return f"on which side {pin} switches it"
                    question = "What may that transistor carry, in A?"
                    take_a = answered.number(_SWITCH["max_a"])
                    most = self.ask(f"main.{pin}.max_a", question, take_a)
                    board.nets[pin]["switch"] = {"side": side, "max_a": most}
                elif part.kind == "sensor":
                    self._input(part, pin)
        return ""

    def _input(self, part: Part, pin: str) -> None:
        net = self.told_.main.nets[pin]
        if not part.sensor.startswith(("ntc", "pt1000")):
            question = f"Which amplifier stands between it and {pin}, such as max31865?"
            amplifier = self.ask(f"main.{pin}.amplifier", question, answered.maybe)
            net["amplifier"] = amplifier or None
            return
        question = f"Pull-up of {pin} in ohm? Boards usually have 4700."
        ohm = self.ask(f"main.{pin}.pullup", question, answered.number(_PULL["ohm"]))
        known = chip(self.told_.main.about["chip"])
        net["pullup"] = ohm and {"ohm": ohm, "to_v": (known and known.logic_v) or 3.3}

    def _driver(self, coils: set[str]) -> str:
        named = sorted({answered.coil_driver(it) for it in coils} - {""})
        if len(named) != 1:
            return "which driver it hangs on" if not named else ""
        board, driver = self.told_.main, named[0]
        made = board.drivers.setdefault(driver, {})
        for key, what in _DRIVER.items():
            others = (it for name, it in board.drivers.items() if name != driver)
            used = {*board.nets, *(str(pin) for it in others for pin in it.values())}
            take = answered.chip_pin(str(board.about["chip"]), used)
            made[key] = self.ask(f"main.{driver}.{key}", f"{driver}: chip pin for {what}?", take)
        if not made["step_pin"]:
            del board.drivers[driver]
            return "which chip pin steps it"
        ends = sorted(coils)
        made["coils"] = ends if len(ends) == 4 else None
        limit = answered.number(schema.DRIVER["max_a"])
        made["max_a"] = self.ask(f"main.{driver}.max_a", f"{driver}: its limit in A?", limit)
        return ""

    def _further(self) -> None:
        self.tell("Any further part", "A role, such as hotend1.heater, part1.fan, chamber.heater.")
        asked = tuple(role for listed in GROUPS.values() for role in listed)
        for number in range(1, 100):
            role = self.ask(f"further{number}", "Its role? Enter: no more.", _a_role(asked))
            if not role:
                return
            asked = (*asked, role)
            self._part(role)

    def _limits(self) -> None:
        self.tell("Limits", "What the weakest hot thing stands: liner, magnet, insulation.")
        fitted = {it.role for it in self.told_.parts} | self.told_.unknown.keys()
        heaters = sorted((it for it in fitted if it.endswith(".heater")), key=order)
        for group in (it.partition(".")[0] for it in heaters):
            question = f"{group}: at most how many C? What sets it is asked next."
            most = self.ask(f"{group}.max_c", question, answered.number(schema.LIMIT["max_c"]))
            if most is not None:
                because = self.ask(f"{group}.because", "What sets it?", answered.maybe)
                self.told_.limits[group] = {"max_c": most, "because": because or None}


_WITHOUT_WIRES = {"block", "plate"}
_READ = frozenset(("sensor", "probe", "endstop", "motor", "servo"))
_DRIVER = {"step_pin": "steps", "dir_pin": "its direction", "enable_pin": "its enabling"}


def _a_role(asked: tuple[str, ...]) -> Take[str]:
    def take(typed: str) -> tuple[str, str]:
        if typed in ("", UNKNOWN):
            return "", ""
        if not is_role(typed):
            near = nearest(typed, names())
            raise NoAnswerError(f"There is no such role.{f' Did you mean {near}?' if near else ''}")
        if typed in asked:
            raise NoAnswerError(f"{typed} was asked for already.")
        return typed, typed

    return take
