"""Bad consoles: a learner must end with each of them in bounded time, and bind nothing that is not so."""

from __future__ import annotations

import random

from tests_support.other_consoles.console import Console, Truth

_NOTHING = Truth({})


class Refuser(Console):
    """Answers everything with an error, `help` too."""

    name = "refuser"
    truth = _NOTHING
    prompt = "$ "

    def answer(self, line: str) -> str:
        return self.lines(f"error 22: {line.strip()}")


class Flooder(Console):
    """Prints for ever, from the first line end on; the prompt never comes."""

    name = "flooder"
    truth = _NOTHING

    def __init__(self) -> None:
        super().__init__()
        self._flows = False
        self._count = 0

    def answer(self, line: str) -> str:
        return ""

    def entered(self, line: str) -> str:
        super().entered(line)
        self._flows = True
        return ""

    def idle(self, now: float) -> str:
        if not self._flows:
            return ""
        first, self._count = self._count, self._count + 20
        return self.lines(*(f"sample {n}: gyro {n % 17} {n % 13} {n % 11}" for n in range(first, self._count)))


class Rebooter(Console):
    """Starts again on a word that it does not know: boot text, and whatever else was typed is lost."""

    name = "rebooter"
    truth = Truth({"firmware.name": "Skerry", "firmware.version": "0.9.1", "craft.name": "Wet Sail"})
    prompt = "sk> "

    def __init__(self) -> None:
        super().__init__()
        self.boots = 1

    def plugged_in(self) -> str:
        return self.lines("", f"boot {self.boots}: clocks ok, flash ok, gyro ok", "type 'facts'")

    def answer(self, line: str) -> str:
        if line.strip() == "facts":
            return self.lines("firmware: Skerry", "version: 0.9.1", "craft name: Wet Sail")
        self.boots += 1
        return self.plugged_in()

    def type(self, data: bytes, now: float) -> bytes:
        boots, out = self.boots, bytearray()
        for at in range(len(data)):
            out += super().type(data[at : at + 1], now)
            if self.boots != boots:
                self.sent += data[at + 1 :]
                break
        return bytes(out)


class Noise(Console):
    """No console at all: each byte is answered with bytes that mean nothing, and some come by themselves."""

    name = "noise"
    truth = _NOTHING
    prompt = ""

    def __init__(self, seed: int = 20261125) -> None:
        super().__init__()
        self._random = random.Random(seed)
        self._due = 0.0

    def answer(self, line: str) -> str:
        return ""

    def type(self, data: bytes, now: float) -> bytes:
        super().type(data, now)  # for `received` and `sent`
        return b"".join(bytes([byte]) + self._random.randbytes(self._random.randrange(1, 6)) for byte in data)

    def idle(self, now: float) -> str:
        if now < self._due:
            return ""
        self._due = now + 0.2
        return "".join(chr(self._random.randrange(1, 127)) for _ in range(12))


class LongHelp(Console):
    """Its help has 10,000 lines. The words in it are real: each is answered with one line."""

    name = "long help"
    truth = Truth({"firmware.name": "Fathom", "firmware.version": "2.2.0"})
    prompt = "fathom> "
    count = 10_000

    def answer(self, line: str) -> str:
        word = line.strip()
        if word == "help":
            return self.lines(*(f"  show{n:05d}   shows cell {n} of the table" for n in range(self.count)))
        if word == "show00000":
            return self.lines("firmware Fathom version 2.2.0")
        if word.startswith("show") and word[4:].isdecimal() and len(word) == 9 and int(word[4:]) < self.count:
            return self.lines(f"cell {int(word[4:])} holds {int(word[4:]) * 7919 % 1009}")
        return self.lines(f"no word {word}")


_HERE = "\ue000"
_BINARY = bytes([0x00, 0xFF, 0xFE, 0x1B, 0x80, 0x07, 0xC3, 0x28, 0x04, 0x9D]) + bytes(range(0x80, 0xC0))


class BinaryListing(Console):
    """A listing with binary in the middle: zeros, no valid UTF-8, a lone escape."""

    name = "binary listing"
    truth = Truth(
        {
            "firmware.name": "Mudlark",
            "firmware.version": "1.1.8",
            "battery.cells": 4,
            "motors.poles": 14,
            "channels.order": "AETR",
        }
    )
    prompt = "mud> "

    def answer(self, line: str) -> str:
        word = line.strip()
        if word == "help":
            return self.lines("help   these words", "list   all settings")
        if word == "list":
            return self.lines(
                "firmware = Mudlark",
                "version = 1.1.8",
                "battery cells = 4",
                f"calibration = {_HERE}",
                f"key = {_HERE}{_HERE}",
                "motor poles = 14",
                "channel order = AETR",
            )
        return self.lines(f"bad word: {word}")

    def _key(self, byte: int) -> bytes:
        return super()._key(byte).replace(_HERE.encode(), _BINARY)


class RepeatedKeys(Console):
    """A listing in which keys come twice with different values: which of them holds, nobody can say."""

    name = "repeated keys"
    truth = Truth({"firmware.name": "Thistle", "firmware.version": "4.0.2", "motors.poles": 12})
    prompt = "thi> "
    contradicted = ("battery.cells", "channels.order", "receiver.protocol")
    """Facts that are stated twice, differently: whoever reads one has read it wrong."""

    def answer(self, line: str) -> str:
        word = line.strip()
        if word == "help":
            return self.lines("help   these words", "list   all settings")
        if word == "list":
            return self.lines(
                "firmware: Thistle",
                "version: 4.0.2",
                "battery cells: 4",
                "channel order: AETR",
                "receiver protocol: crsf",
                "motor poles: 12",
                "battery cells: 6",
                "channel order: TAER",
                "receiver protocol: sbus",
            )
        return self.lines(f"bad word: {word}")


HOSTILE: tuple[type[Console], ...] = (Refuser, Flooder, Rebooter, Noise, LongHelp, BinaryListing, RepeatedKeys)
