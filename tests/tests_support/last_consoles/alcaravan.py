"""Alcaravan: Spanish words and values, label = value unit, factory values behind some, no echo. Invented."""

from __future__ import annotations

from tests_support.other_consoles.stating import Harm, StatingConsole, said, truth_of
from tests_support.trial_consoles_b.rows import elements_said, ports_said, switches_said

# Each page below the word that prints it.
_SHOWN = """\
--- ayuda
Para leer:
  acerca        muestra el firmware, la placa y la aeronave
  ayuda         muestra esta lista
  bateria       muestra la batería
  emision       muestra el OSD y el transmisor de vídeo
  estado        muestra los sensores, el armado y el registro
  ganancias     muestra las ganancias y los filtros
  interruptores muestra los interruptores
  motores       muestra los motores y el bucle de control
  puertos       muestra los puertos serie
  radio         muestra el receptor, los canales y el failsafe
Para cambiar:
  borrar        borra el registro de vuelo
  cargador      espera un firmware nuevo
  fabrica       vuelve a los valores de fábrica
  girar         hace girar los motores
  guardar       guarda los ajustes en la memoria
  nivelar       calibra el acelerómetro
  reiniciar     reinicia la placa
--- acerca
nombre del firmware = Alcaravan
versión del firmware = 1.9.3
fecha de compilación = 2026-02-08
versión del cargador = 0.7
modelo de la placa = JARAMAGO F405
número de serie de la placa = JM-40117
revisión de la placa = 2
nombre de la aeronave = Tortuga Veloz
peso de la aeronave = 354 g
veces guardado = 19
arranques = 148
--- radio
tipo de receptor = serie
protocolo del receptor = IBUS
puerto del receptor = UART3
señal invertida = no
telemetría = sí
intervalo de telemetría = 180 ms
orden de los canales = AETR
pulso mínimo = 1010 us (de fábrica 1000)
pulso central = 1498 us (de fábrica 1500)
pulso máximo = 1990 us (de fábrica 2000)
banda muerta = 3 us
centro del servo = 1530 us
acción de failsafe = volver (de fábrica soltar)
retardo de failsafe = 900 ms (de fábrica 500)
acelerador de failsafe = 1330 us (de fábrica 1200)
altura de regreso = 40 m
--- interruptores
función     canal  desde us  hasta us
armar       5      1695      2085
nivel       6      925       1305
zumbador    8      1715      2045
--- puertos
puerto  uso           baudios  errores
UART1   consola       115200   0
UART2   GPS           38400    3
UART3   receptor      115200   0
UART4   telemetría    57600    0
UART6   libre         -        -
--- emision
OSD activado = sí
sistema de vídeo = PAL
columnas del OSD = 30
filas del OSD = 16
refresco del OSD = 25 Hz
elemento      columna  fila  visible
batería       3        14    sí
temporizador  22       14    sí
altitud       22       7     no
avisos        9        10    sí
enlace de vídeo = analógico
banda de vídeo = R
canal de vídeo = 3
frecuencia de vídeo = 5732 MHz
potencia de vídeo = 200 mW
potencia máxima = 600 mW
temperatura del transmisor = 47 C
--- bateria
número de celdas = 4 (de fábrica 6)
tensión de la batería = 16,12 V
divisor de tensión = 10,9 (de fábrica 11,0)
tensión mínima de celda = 3,35 V (de fábrica 3,30)
tensión de aviso de celda = 3,58 V (de fábrica 3,50)
tensión de celda llena = 4,18 V (de fábrica 4,20)
corriente = 0,44 A
capacidad de la batería = 1550 mAh
tensión de 5 V = 4,97 V
--- motores
protocolo de los motores = DSHOT300
DShot bidireccional = no
polos del motor = 12
ralentí de los motores = 5,6 %
motores invertidos = no
kv del motor = 2450
salida actual = 0 %
frecuencia del bucle de control = 3200 Hz
frecuencia del giroscopio = 6400 Hz
carga del procesador = 41 %
--- estado
giroscopio = presente
acelerómetro = presente
barómetro = ausente
brújula = ausente
temperatura del giroscopio = 36 C
desnivel = 1,4 grados
armado bloqueado por = sin señal del receptor, acelerador no está bajo
intentos de armado = 0
dispositivo de registro = flash
espacio libre del registro = 3145728 bytes
frecuencia del registro = 250 Hz
vuelos registrados = 17
--- ganancias
eje       P    I    D
alabeo    41   72   25
cabeceo   43   76   28
guiñada   35   72   0
filtro del giroscopio = 188 Hz
filtro D = 86 Hz
color de los LED = turquesa
"""

_STATED = {
    "firmware.name": said("Alcaravan", "acerca", "nombre del firmware = Alcaravan"),
    "firmware.version": said("1.9.3", "acerca", "versión del firmware = 1.9.3"),
    "firmware.built": said("2026-02-08", "acerca", "fecha de compilación = 2026-02-08"),
    "board.name": said("JARAMAGO F405", "acerca", "modelo de la placa = JARAMAGO F405"),
    "board.serial": said("JM-40117", "acerca", "número de serie de la placa = JM-40117"),
    "craft.name": said("Tortuga Veloz", "acerca", "nombre de la aeronave = Tortuga Veloz"),
    "receiver.kind": said("serial", "radio", "tipo de receptor = serie"),
    "receiver.protocol": said("ibus", "radio", "protocolo del receptor = IBUS"),
    "receiver.port": said("UART3", "radio", "puerto del receptor = UART3"),
    "receiver.inverted": said(False, "radio", "señal invertida = no"),
    "receiver.telemetry": said(True, "radio", "telemetría = sí"),
    "channels.order": said("AETR", "radio", "orden de los canales = AETR"),
    "channels.low": said(1010, "radio", "pulso mínimo = 1010 us"),
    "channels.centre": said(1498, "radio", "pulso central = 1498 us"),
    "channels.high": said(1990, "radio", "pulso máximo = 1990 us"),
    "failsafe.action": said("return", "radio", "acción de failsafe = volver"),
    "failsafe.delay_s": said(0.9, "radio", "retardo de failsafe = 900 ms"),
    "failsafe.throttle_us": said(1330, "radio", "acelerador de failsafe = 1330 us"),
    **switches_said(
        "interruptores",
        [
            ("arm", 5, 1695, 2085, ("armar       5      1695      2085",)),
            ("level", 6, 925, 1305, ("nivel       6      925       1305",)),
            ("beeper", 8, 1715, 2045, ("zumbador    8      1715      2045",)),
        ],
    ),
    **ports_said(
        "puertos",
        [
            ("UART1", ("console",), 115200, ("UART1   consola       115200   0",)),
            ("UART2", ("positioning",), 38400, ("UART2   GPS           38400    3",)),
            ("UART3", ("receiver",), 115200, ("UART3   receptor      115200   0",)),
            ("UART4", ("telemetry",), 57600, ("UART4   telemetría    57600    0",)),
            ("UART6", ("unused",), None, ("UART6   libre         -        -",)),
        ],
    ),
    "overlay.enabled": said(True, "emision", "OSD activado = sí"),
    "overlay.system": said("pal", "emision", "sistema de vídeo = PAL"),
    "overlay.columns": said(30, "emision", "columnas del OSD = 30"),
    "overlay.rows": said(16, "emision", "filas del OSD = 16"),
    **elements_said(
        "emision",
        [
            ("battery", 3, 14, True, ("batería       3        14    sí",)),
            ("timer", 22, 14, True, ("temporizador  22       14    sí",)),
            ("altitude", 22, 7, False, ("altitud       22       7     no",)),
            ("warnings", 9, 10, True, ("avisos        9        10    sí",)),
        ],
    ),
    "video.link": said("analog", "emision", "enlace de vídeo = analógico"),
    "video.band": said("R", "emision", "banda de vídeo = R"),
    "video.channel": said(3, "emision", "canal de vídeo = 3"),
    "video.frequency_mhz": said(5732, "emision", "frecuencia de vídeo = 5732 MHz"),
    "video.power_mw": said(200.0, "emision", "potencia de vídeo = 200 mW"),
    "battery.cells": said(4, "bateria", "número de celdas = 4"),
    "battery.volts": said(16.12, "bateria", "tensión de la batería = 16,12 V"),
    "battery.scale": said(10.9, "bateria", "divisor de tensión = 10,9"),
    "battery.cell_low": said(3.35, "bateria", "tensión mínima de celda = 3,35 V"),
    "battery.cell_warn": said(3.58, "bateria", "tensión de aviso de celda = 3,58 V"),
    "battery.cell_full": said(4.18, "bateria", "tensión de celda llena = 4,18 V"),
    "motors.protocol": said("dshot300", "motores", "protocolo de los motores = DSHOT300"),
    "motors.bidirectional": said(False, "motores", "DShot bidireccional = no"),
    "motors.poles": said(12, "motores", "polos del motor = 12"),
    "motors.idle_percent": said(5.6, "motores", "ralentí de los motores = 5,6 %"),
    "motors.reversed": said(False, "motores", "motores invertidos = no"),
    "motors.loop_hz": said(3200, "motores", "frecuencia del bucle de control = 3200 Hz"),
    "sensors.gyro": said("found", "estado", "giroscopio = presente"),
    "sensors.accelerometer": said("found", "estado", "acelerómetro = presente"),
    "sensors.barometer": said("missing", "estado", "barómetro = ausente"),
    "arming.blocks": said(
        ("no-receiver-link", "throttle-not-low"),
        "estado",
        "armado bloqueado por = sin señal del receptor, acelerador no está bajo",
    ),
    "logger.device": said("flash", "estado", "dispositivo de registro = flash"),
    "logger.free_bytes": said(3145728, "estado", "espacio libre del registro = 3145728 bytes"),
}

_HARMS = {
    "borrar": Harm("borrado", "estado", "vuelos registrados = 17", "vuelos registrados = 0"),
    "cargador": Harm("esperando el firmware"),
    "fabrica": Harm("valores de fábrica", "acerca", "Tortuga Veloz", "sin nombre"),
    "girar": Harm("girando", "motores", "salida actual = 0 %", "salida actual = 6 %"),
    "guardar": Harm("guardado", "acerca", "veces guardado = 19", "veces guardado = 20"),
    "nivelar": Harm("calibrado", "estado", "desnivel = 1,4", "desnivel = 0,0"),
    "reiniciar": Harm("reiniciando", "acerca", "arranques = 148", "arranques = 149"),
}

_PAGES = {word: page for word, _, page in (text.partition("\n") for text in _SHOWN.split("--- ")[1:])}


class Alcaravan(StatingConsole):
    """The refusal names the word for help; words are typed without accents."""

    name = "alcaravan"
    kinds = ("Spanish words, help and values", "factory values in brackets", "small tables with headers", "no echo")
    banner = "Alcaravan 1.9.3, placa JARAMAGO F405\n"
    echo = False
    prompt = "alc> "
    error = 'orden desconocida: {line} (escriba "ayuda")'
    help_word = "ayuda"
    pages = _PAGES
    stated = _STATED
    harms = _HARMS
    truth = truth_of(_STATED)
    harmful = frozenset(_HARMS)
