"""Which words are sent: none that does harm, whatever its help calls it, and those that read in nine languages.

The words are those of dictionaries and of embedded consoles at large (common practice), from memory.
"""

from __future__ import annotations

from typing import Any

import pytest

from propsoff.console.manner import Line
from propsoff.learning.choosing import choose, does_no_harm, in_words, reason_against
from propsoff.learning.help_text import help_words, menu_entries
from propsoff.learning.model import HelpWord
from tests_support.other_consoles.hostile import HOSTILE
from tests_support.other_consoles.seen import SEEN
from tests_support.other_consoles.stating import StatingConsole

_NEVER = """
write | write the values to flash
save | shows and saves
store | keep it
commit | make it last
apply | use the new values
burn | to the ROM
erase | erase the log
wipe |
clear | clear counters
format | format the card
reset | reset statistics
defaults | shows and loads defaults
factory | as delivered
restart | begin again
reboot |
boot | shows the loader
dfu | update over USB
loader | display loader
update |
flash | show flash, then erase it
motor | spin one
motors | run each once
motortest | shows the motors
spin |
arm | arms the craft
disarm |
calibrate | level it
cal | gyro
accal | accelerometer
gyrocal | shows the bias
bind | receiver
pair | meet a transmitter
unbind |
test | self test
beep | find it
led | toggles the lamp
overlay | toggles the overlay
overlay | picture on
osd | turn overlay on the picture
osd | switches overlay on the picture
vtx | transmitter on the air
osd | overlay on boot
ports | ports on power on
osd | switches canvas
rx | toggle telemetry
vtx | enable power
vtx | transmits now
set | set a value
default |
exit | leave the console
bridge | talk to the receiver
passthrough | port to port
exec | run a line
poke | write memory
tidy | log memory
wiggle | motor outputs
zot | frob settings
zot | frobs settings
ask | again for the new image
twirl | let each motor have a go
freshen | make room in the recorder
jog | the outputs
hop | once more from the top
pulse | motor outputs
intake | get ready for new firmware
cycle | begin again
zero | the log
keep |
jump |
blank |
status | shows and clears the error counters
status | show then reset
status | displays; erases
status | show & clear
status | prods the thing
counters | shows errors, clearing them
show | shows what it is, reboots
stats | prints and zeroes statistics
log | starts logging
log | dump the log and erase it
report | prints, then restarts
info | shows version and enters the loader
all | lists everything, writing it to the card
list | list all, with reset after
version | version, then update
config | save configuration
config | configures the receiver
settings | restores settings
state | forces the arm state on
cfgsave | settings
saveAll | all settings
SAVEALL | ALL SETTINGS
cfgwrite | configuration
sysreboot | system
fwupdate | firmware
memclear | shows memory
logclr | log
eepromwr | eeprom
factoryreset | settings
yes |
ok | shows the state
continue | shows more
invert | channels
reverse | channels
land | battery
hold | channels
hide | overlay
тест | показать
all | стереть
get | <name>
speichern | speichert alle Werte
sichern | behält die Werte
löschen | löscht das Protokoll
LÖSCHEN |
loeschen | vergisst alles
werk | zeigt und lädt Werkseinstellungen
neustart | beginnt von vorn
auffrischen | räumt den Aufzeichnungsspeicher auf
eichen | merkt sich die waagrechte Lage
drehen | prüft kurz, ob sich etwas bewegt
einspielen | bereitet auf neue Firmware vor
koppeln | Empfänger
setze |
zeige | zeigt und löscht die Fehler
status | zeigt den Zustand, dann Neustart
sperren | Empfänger
umschalten | Einblendung
écrire | écrit les valeurs
Écrire |
ecrire |
enregistrer | paramètres
effacer | efface le journal
ÉTEINDRE |
redémarrer | recommence
étalonner | gyroscope
appairer | récepteur
affiche | affiche et efface les erreurs
lire | lit puis remet à zéro
usine | réglages
guardar | guarda los valores
borrar | borra el registro
reiniciar |
calibrar | giroscopio
vincular | receptor
muestra | muestra y borra los errores
estado | muestra y luego reinicia
escribir | escribe la memoria
salva | impostazioni
scrivi | scrive i valori
cancella | registro
riavvia |
tara | giroscopio
abbina | ricevente
mostra | mostra e cancella gli errori
ripristina | valori
gravar | grava os valores
salvar |
apagar | apaga o registro
reiniciar | recomeça
mostrar | mostra e apaga os erros
emparelhar | receptor
padrão | valores
opslaan | waarden
wissen | wist het logboek
schrijf |
herstart | begint opnieuw
koppelen | ontvanger
toon | toont en wist de fouten
fabriek | instellingen
spara | sparar värden
radera | loggen
skriv |
starta | startar om
återställ | värden
para | mottagare
visa | visar och raderar felen
zapisz | zapisuje wartości
usuń | dziennik
skasuj |
restartuj |
kalibruj | żyroskop
wyłącz | odbiornik
włącz | nadajnik
pokaż | pokazuje i kasuje błędy
drive | drive the motors
drive | show motors and control loop
drive | motors and control loop
drive | show and set the motors
"""
_READ = """
help |
status |
status | shows the state
STATUS | SHOWS THE STATE
version | firmware version
version | version of the firmware
ver | prints version and build date
info | about this board
about | what this is
list | list all settings
show | show all values
dump | dump the configuration
print | print settings
config | shows the configuration
settings | all settings
all | everything the craft holds
all |
get | prints all values
tasks | show cpu load
health | show sensors and arming
power | show the battery
radio | show the receiver and channels
receiver | receiver and channels
rx |
rx | radio input
osd | picture and overlay
osd | overlay on the picture
failsafe | behaviour on loss of signal
sensors | sensors on the board
tuning | control loop and gains
overlay |
battery |
mot | motor outputs
motors | shows the motor outputs
drive | x-not-this
status | sensors, arming and load
checks | sensors, and why it stays on the ground
sens | sensors and arming
fs | loss of signal
ports | show the serial ports
ports | serial ports
channels | channel order and limits
gyro |
gyro | prints gyro values
failsafe | prints failsafe settings
video | shows the picture transmitter
boot_info | x-not-this
bench | show the supply and the clocks
stats | statistics since the last flight
uptime | time since power was applied
whoami | identity of the board
sysinfo | what the hardware is
defaults_of | x-not-this
report | reports sensor states
saved | x-not-this
state | shows disabled features
summary | short overview
werte | zeigt alle Einstellungen
zustand | zeigt Sensoren und Startsperren
kennung | zeigt, was das hier ist
anschluesse | zeigt die seriellen Anschlüsse
anzeigen | zeigt gespeicherte Werte
empfänger | zeigt den Empfänger
akku | zeigt Zellen und Spannung
Übersicht | zeigt alles
liste | liste des paramètres
affiche | affiche les réglages
état | affiche l'état des capteurs
lire | lit les valeurs
récepteur | affiche le récepteur
estado | muestra los sensores
muestra | muestra todos los ajustes
lista | lista de valores
batería | muestra la batería
mostra | mostra le impostazioni
stato | mostra lo stato dei sensori
elenco | elenco dei valori
ricevente | mostra la ricevente
estado | mostra os sensores
valores | lista todos os valores
receptor | mostra o receptor
toon | toont alle instellingen
lijst | lijst van waarden
overzicht | toont de ontvanger
visa | visar alla värden
lista | listar alla inställningar
mottagare | visar mottagaren
pokaż | pokazuje wszystkie wartości
stan | pokazuje stan czujników
wartości | wypisuje ustawienia
odbiornik | pokazuje odbiornik
"""


def _pairs(table: str) -> list[Any]:
    rows = [line.partition(" |") for line in table.strip().splitlines() if "x-not-this" not in line]
    return [pytest.param(word, says.strip(), id=f"{word}-{says.strip()}") for word, _, says in rows]


NEVER, READ = _pairs(_NEVER), _pairs(_READ)


def _named_in_help(console: StatingConsole) -> dict[str, HelpWord]:
    page = console.pages.get(console.help_word, "")
    lines = [Line(number, text) for number, text in enumerate(page.splitlines(), 1)]
    return {word.word: word for word in menu_entries(lines) or help_words(lines)}


def _harmful_of_the_consoles() -> list[Any]:
    found = []
    for kind in (*SEEN, *HOSTILE):
        named = _named_in_help(kind()) if issubclass(kind, StatingConsole) else {}
        for word in sorted(kind.harmful):
            found.append(pytest.param(named.get(word, HelpWord(word, "", 1)), id=f"{kind.name}-{word}"))  # noqa: PERF401
    return found


@pytest.mark.parametrize("word", _harmful_of_the_consoles())
def test_a_harmful_word_of_a_console_is_refused_as_its_help_tells_it(word: HelpWord) -> None:
    assert reason_against(word)


@pytest.mark.parametrize("kind", [kind for kind in SEEN if kind.help_word], ids=lambda kind: kind.name)
def test_the_harmful_words_are_found_in_the_help_and_none_is_chosen(kind: type[StatingConsole]) -> None:
    named = _named_in_help(kind())
    assert kind.harmful <= set(named)
    chosen, left_out = choose(named.values(), 40, menu=all(map(str.isdigit, named)))
    assert not kind.harmful & {word.word for word in chosen}
    assert len(chosen) >= 4
    assert kind.harmful <= {one.word.word for one in left_out}


def test_the_tables_are_large_enough() -> None:
    assert len(NEVER) >= 120
    assert len(READ) >= 60


@pytest.mark.parametrize(("word", "says"), NEVER)
def test_what_may_do_harm_is_never_sent(word: str, says: str) -> None:
    takes = says if says.startswith("<") else ""
    assert reason_against(HelpWord(word, "" if takes else says, 1, takes)), f"{word!r} ({says!r}) would be sent"


@pytest.mark.parametrize(("word", "says"), READ)
def test_what_reads_is_sent(word: str, says: str) -> None:
    assert reason_against(HelpWord(word, says, 1)) is None


@pytest.mark.parametrize("takes", ["<name>", "{n}", "(n)", "NAME", "name", "=value", "...", "[on|off]", "[erase]"])
def test_a_word_that_wants_to_be_told_something_is_not_sent(takes: str) -> None:
    assert reason_against(HelpWord("show", "shows a value", 1, takes))


def test_what_may_be_told_is_left_out() -> None:
    assert reason_against(HelpWord("show", "shows a value", 1, "[name]")) is None


@pytest.mark.parametrize("says", ["spin motors", "arm motors", "invert channels", "enable outputs", "reverse motors"])
def test_in_a_menu_of_pages_what_does_something_is_no_page(says: str) -> None:
    pages = [HelpWord(str(at), text, at) for at, text in enumerate(("radio", "battery", "serial ports", "video"), 1)]
    chosen, left_out = choose([*pages, HelpWord("9", says, 9)], 40, menu=True)
    assert [word.word for word in chosen] == ["1", "2", "3", "4"]
    assert [one.word.word for one in left_out] == ["9"]


def test_so_many_are_sent_and_those_first_that_read_everything() -> None:
    words = [HelpWord(f"state{at}", "shows a value", at) for at in range(9)] + [HelpWord("recite", "all settings", 9)]
    chosen, left_out = choose(words, 3)
    assert [word.word for word in chosen] == ["recite", "state0", "state1"]
    assert {one.why for one in left_out} == {"3 words are sent at most"}


@pytest.mark.parametrize(
    ("word", "line", "sent"),
    [
        ("ledger", "everything is in the 'ledger'", True),
        ("status", "type 'status' or 'save'", True),
        ("go", "type 'go' to restart", False),
        ("yes", "type 'yes' for all settings", False),
        ("now", "type 'now' to erase the log", False),
        ("blue", "type 'blue' to spin a motor", False),
        ("erase", "type 'erase'", False),
    ],
)
def test_a_word_that_the_console_points_at_is_sent_when_nothing_speaks_against_it(
    word: str, line: str, sent: bool
) -> None:
    assert does_no_harm(HelpWord(word, line, 1)) is sent


def test_a_person_is_shown_both_lists() -> None:
    chosen, left_out = choose([HelpWord("show", "shows all", 1), HelpWord("save", "", 2)], 40)
    assert in_words(chosen, left_out) == [
        "would send 1 words that read:",
        "  show   (shows all)",
        "would not send 1:",
        "  save   'save' may change something",
    ]


@pytest.mark.parametrize(
    ("word", "says", "sent"),
    [
        ("status", "shows sensors, arming and load", True),
        ("STAT", "show sensors, log and load", True),
        ("status", "load the status", False),
        ("status", "shows sensors and load defaults", False),
        ("profile", "shows profiles and load", False),
        ("switches", "", True),
        ("flips", "", False),
        ("onScreen", "reads the OSD", True),
        ("on", "reads the OSD", False),
    ],
)
def test_what_only_sounds_like_a_deed_is_told_from_one(word: str, says: str, sent: bool) -> None:
    assert (reason_against(HelpWord(word, says, 1)) is None) is sent
