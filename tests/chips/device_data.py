"""Reads the device-data package modm-devices into pin notation.

Only timers that drive plain PWM are taken; low-power and high-resolution timers are left out.
"""

import json
import re
from collections.abc import Iterator, Mapping
from functools import cache
from pathlib import Path
from typing import Any

import modm_devices
from attrs import frozen
from modm_devices.parser import DeviceParser

from pincheck.chips.model import SPECIAL_WORDS
from pincheck.chips.names import key_of, matches, tidy
from pincheck.chips.notation import unite

_SPECIAL_SIGNALS = (
    ("debug", r"(sys|debug|jtag|ice)\.j?(tms|tck|tdi|tdo|swdio|swclk|swdclk|n?jtrst|trst|swo)"),
    ("oscillator", r"(rcc|core|pmc|sysctrl|oscctrl)\.(osc_(in|out)|x(in|out)\d?|xtal\d)"),
    ("clock-crystal", r"(rcc|pmc|sysctrl|osc32kctrl)\.(osc32_(in|out)|x(in|out)32)"),
    ("usb", r"(usb|usb_otg_fs|uhp|udp)\.(dm|dp)"),
    ("erase", r"efc\.erase"),
    ("boot", r"boot_load\.hwb"),
)
_READABLE = ("stm32/", "avr/", "sam/", "rp/rp2040")
_PWM_CHANNEL = re.compile(r"ch(\d)(n?)")
# With the output matrix at its reset value, waveform outputs repeat the compare channels in turn:
# SAM D21 data sheet 31.6.3.8, SAM D5x/E5x data sheet 49.6.3.7, from memory.
_TCC_CHANNELS = {
    "samd2": {"TCC0": 4, "TCC1": 2, "TCC2": 2},
    "samd5": {"TCC0": 6, "TCC1": 4, "TCC2": 3, "TCC3": 2, "TCC4": 2},
    "same5": {"TCC0": 6, "TCC1": 4, "TCC2": 3, "TCC3": 2, "TCC4": 2},
}


def natural(name: str) -> tuple[str | int, ...]:
    """Return a sort key that puts PA2 before PA10."""
    return tuple(int(part) if part.isdigit() else part for part in re.split(r"(\d+)", name))


@frozen
class Part:
    """One part of the package: its family (`stm32f4`, `avr`, `samd51`) and its pins' functions."""

    family: str
    pins: Mapping[str, str]


@cache
def _resources() -> Path:
    return Path(modm_devices.__file__).parent / "resources" / "devices"


@cache
def _index() -> Mapping[str, set[str]]:
    """Return the device files of the parts whose pins can be read, by the parts' keys."""
    groups = json.loads((_resources() / "db.json").read_text(encoding="utf-8"))
    files: dict[str, set[str]] = {}
    for part, file in (entry for group in groups.values() for entry in group.items()):
        if file.startswith(_READABLE):
            files.setdefault(key_of(part), set()).add(file)
    return files


def parts_named(text: str) -> dict[str, Part]:
    """Return every part that a chip name can mean, filed by its key.

    Packages that share a key are united.
    """
    wanted = set(matches(text, _index()))
    found: dict[str, dict[str, str]] = {}
    families: dict[str, str] = {}
    for file in sorted({file for key in wanted for file in _index()[key]}):
        for device in _devices(file):
            key = key_of(device.partname)
            if key in wanted:
                families[key] = _family(device)
                unite(found.setdefault(key, {}), dict(_pins(device)))
    return {key: Part(families[key], found[key]) for key in sorted(found)}


def _devices(file: str) -> list[Any]:
    return list(DeviceParser().parse(str(_resources() / file)).get_devices())


def _family(device: Any) -> str:
    name = tidy(device.partname)
    if name.startswith("stm32"):
        return name[:7]
    if name.startswith("sam"):
        return name[:6]
    return "avr" if name.startswith("at") else name


def _pins(device: Any) -> Iterator[tuple[str, str]]:
    gpio, family = device.get_driver("gpio"), _family(device)
    pins = [pin for pin in gpio.get("gpio", ()) if pin["port"] != "qspi"]
    found: dict[str, set[str]] = {_name(pin): set() for pin in pins}
    for name, word in _words(gpio, pins, family):
        if word and name in found:
            found[name].add(word)
    for name, words in found.items():
        if "clock-crystal" in words:
            words.discard("oscillator")  # STM32G0 takes a ready clock there, not a crystal
        yield name, " ".join(sorted(words, key=_rank))


def _words(
    gpio: Mapping[str, Any], pins: list[dict[str, Any]], family: str
) -> Iterator[tuple[str, str]]:
    for pin in pins:
        for signal in pin.get("signal", ()):
            yield _name(pin), _function(signal, int(pin["pin"]), family)
    # on STM32F1 the channels of timers that can be remapped stand nowhere else
    for remap in gpio.get("remap", ()):
        for signal in (signal for group in remap["group"] for signal in group["signal"]):
            if remap["driver"] == "tim":
                yield _name(signal), _function({**remap, **signal}, 0, family)
    for name in (pin["name"] for package in gpio.get("package", ()) for pin in package["pin"]):
        if match := re.fullmatch(r"(P[A-Z]\d+)\s*-\s*(NRST|BOOT0)", name):
            yield match[1], "reset" if match[2] == "NRST" else "boot"
    if family == "rp2040":
        yield from ((f"gpio{26 + channel}", f"ADC:{channel}") for channel in range(4))


def _rank(word: str) -> tuple[int, tuple[str | int, ...]]:
    return (not word.startswith("A")) + (word in SPECIAL_WORDS), natural(word)


def _name(pin: Mapping[str, str]) -> str:
    if pin["port"] == "bank0":
        return f"gpio{pin['pin']}"
    return f"P{pin['port'].upper()}{int(pin['pin'])}"


def _function(signal: Mapping[str, str], pin: int, family: str) -> str:
    driver, name = signal.get("driver", ""), signal["name"]
    unit, at = signal.get("instance", ""), signal.get("index", "")
    match driver:
        case "tim" if match := _PWM_CHANNEL.fullmatch(name):
            return f"TIM{unit}:{match[1]}{match[2].upper()}"
        case "adc" if match := re.fullmatch(r"(?:inp?)?(\d+)", name):
            return f"ADC{unit}:{match[1]}"
        case "adc" | "afec" if name in ("ain", "ad"):
            return f"{driver.upper()}{unit}:{at}"
        case "tc" if match := re.fullmatch(r"(_?)oc([a-d])", name):
            return f"TC{unit}:{match[2].upper()}{'N' * bool(match[1])}"
        case "tc" if name in ("tioa", "tiob"):
            return f"TC/{at}:{name[-1].upper()}"
        case "tc" | "tcc" if name == "wo":
            timer = f"{driver.upper()}{unit}"
            return f"{timer}:{int(at) % _TCC_CHANNELS.get(family[:5], {}).get(timer, 8)}"
        case "pwm" if name in ("pwmh", "pwml"):
            return f"PWM{unit}/{at}:{'HN' if name == 'pwml' else 'H'}"
        case "pwm" if name in ("a", "b"):
            # the package names the slice's output but not the slice: RP2040 data sheet, 4.5.2
            return f"PWM{pin >> 1 & 7}:{name.upper()}"
    if family == "rp2040":
        return ""
    text = f"{driver}.{name}"
    return next((word for word, like in _SPECIAL_SIGNALS if re.fullmatch(like, text)), "")
