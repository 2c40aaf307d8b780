"""Abubilla: Spanish words, a titled page a word, labels and values aligned, small tables with a header. Invented."""

from __future__ import annotations

from tests_support.other_consoles.stating import Harm, StatingConsole, truth_of
from tests_support.parting_consoles_a.marks import read_marks

_SHOWN = """\
--- ayuda
ÓRDENES
  ayuda           muestra esta lista
  acerca          muestra firmware, placa y aeronave
  receptor        muestra el receptor y los canales
  interruptores   muestra los interruptores
  puertos         muestra los puertos serie
  osd             muestra el OSD
  video           muestra el transmisor de vídeo
  bateria         muestra la batería
  motores         muestra los motores y el bucle de control
  failsafe        muestra el failsafe
  estado          muestra sensores, armado y registro
  ganancias       muestra ganancias y filtros
  guardar         guarda los ajustes
  reiniciar       reinicia la placa
  restaurar       restaura los ajustes de fábrica
  cargador        entra en el cargador de arranque
  probar          hace girar los motores
  calibrar        calibra el acelerómetro
  borrar          borra el registro de vuelo
--- acerca
ACERCA DE
  Firmware                    Abubilla @@ firmware.name='Abubilla'
  Versión del firmware        4.7.2 @@ firmware.version='4.7.2'
  Fecha de compilación        2026-03-19 @@ firmware.built='2026-03-19'
  Versión del cargador        1.3
  Placa                       ESPARTO F411 @@ board.name='ESPARTO F411'
  Revisión de la placa        C
  Número de serie             ES4-00862 @@ board.serial='ES4-00862'
  Nombre de la aeronave       Nube Lenta @@ craft.name='Nube Lenta'
  Peso de la aeronave         338 g
  Veces guardado              24
  Arranques                   141
--- receptor
RECEPTOR
  Tipo de receptor            serie @@ receiver.kind='serial'
  Protocolo del receptor      IBUS @@ receiver.protocol='ibus'
  Puerto del receptor         UART3 @@ receiver.port='UART3'
  Señal invertida             no @@ receiver.inverted=False
  Semidúplex                  sí @@ receiver.half_duplex=True
  Telemetría                  sí @@ receiver.telemetry=True
  Intervalo de telemetría     200 ms

CANALES @@ head
  Orden de canales            AETR @@ channels.order='AETR'
  Mínimo                      1003 us @@ channels.low=1003
  Centro                      1504 us @@ channels.centre=1504
  Máximo                      1997 us @@ channels.high=1997
  Zona muerta                 5 us
  Suavizado                   30 Hz
--- interruptores
INTERRUPTORES
  Función      Canal   Desde   Hasta   Unidad
  armar        6       1705    2070    us @@ switch 0 ('arm', 6, 1705, 2070)
  nivel        5       915     1285    us @@ switch 1 ('level', 5, 915, 1285)
  zumbador     8       1650    2040    us @@ switch 2 ('beeper', 8, 1650, 2040)
--- puertos
PUERTOS SERIE
  Puerto    Función           Baudios   Errores
  UART1     consola           115200    0 @@ port 0 ('UART1', ('console',), 115200)
  UART2     GPS               9600      4 @@ port 1 ('UART2', ('positioning',), 9600)
  UART3     receptor          115200    1 @@ port 2 ('UART3', ('receiver',), 115200)
  UART4     telemetría ESC    115200    0 @@ port 3 ('UART4', ('esc-telemetry',), 115200)
  UART5     libre             -         - @@ port 4 ('UART5', ('unused',))
--- osd
OSD @@ head
  Activado                    sí @@ overlay.enabled=True
  Sistema de vídeo            PAL @@ overlay.system='pal'
  Columnas                    30 @@ overlay.columns=30
  Filas                       16 @@ overlay.rows=16
  Brillo                      4
  Refresco                    25 Hz

ELEMENTOS
  Elemento             Columna   Fila   Visible
  batería              3         14     sí @@ element 0 ('battery', 3, 14, True)
  temporizador         22        14     sí @@ element 1 ('timer', 22, 14, True)
  altitud              24        7      no @@ element 2 ('altitude', 24, 7, False)
  calidad de enlace    2         1      sí @@ element 3 ('link-quality', 2, 1, True)
--- video
TRANSMISOR DE VÍDEO @@ head
  Enlace de vídeo             analógico @@ video.link='analog'
  Banda                       R @@ video.band='R'
  Canal                       3 @@ video.channel=3
  Frecuencia                  5732 MHz @@ video.frequency_mhz=5732
  Potencia                    100 mW @@ video.power_mw=100.0
  Potencia máxima             500 mW
  Temperatura                 39 C
--- bateria
BATERÍA
  Celdas                      3 @@ battery.cells=3
  Voltaje de la batería       11.58 V @@ battery.volts=11.58
  Divisor de voltaje          10.8 @@ battery.scale=10.8
  Celda mínima                3.30 V @@ battery.cell_low=3.3
  Celda de aviso              3.55 V @@ battery.cell_warn=3.55
  Celda llena                 4.20 V @@ battery.cell_full=4.2
  Capacidad                   850 mAh
  Consumido                   0 mAh
  Corriente                   0.27 A
  Voltaje de alimentación     4.98 V
--- motores
MOTORES @@ head
  Protocolo de motores        DSHOT600 @@ motors.protocol='dshot600'
  Bidireccional               no @@ motors.bidirectional=False
  Polos del motor             14 @@ motors.poles=14
  Ralentí                     6.0 % @@ motors.idle_percent=6.0
  Motores invertidos          no @@ motors.reversed=False
  KV del motor                3600 rpm/V
  Salida actual               0 %
  Bucle de control            2000 Hz @@ motors.loop_hz=2000
  Muestreo del giroscopio     4000 Hz
--- failsafe
FAILSAFE @@ head
  Acción                      aterrizar @@ failsafe.action='land'
  Retardo                     1.2 s @@ failsafe.delay_s=1.2
  Acelerador                  1240 us @@ failsafe.throttle_us=1240
  Duración del aterrizaje     15 s
--- estado
SENSORES @@ head
  Giroscopio                  encontrado @@ sensors.gyro='found'
  Acelerómetro                encontrado @@ sensors.accelerometer='found'
  Barómetro                   no encontrado @@ sensors.barometer='missing'
  Brújula                     no encontrado
  Desvío de nivel             1.4 grados

ARMADO @@ head
  Armado bloqueado por        sin señal del receptor, no nivelado @@ arming.blocks=('no-receiver-link', 'not-level')

REGISTRO DE VUELO @@ head
  Dispositivo                 flash @@ logger.device='flash'
  Espacio libre               3145728 bytes @@ logger.free_bytes=3145728
  Frecuencia de registro      400 Hz
  Vuelos registrados          9

SISTEMA
  Carga de la CPU             29 %
  Temperatura de la CPU       41 C
  Encendido desde hace        83 s
--- ganancias
GANANCIAS
  Eje        P    I    D
  Alabeo     42   76   29
  Cabeceo    45   80   31
  Guiñada    36   73   0

FILTROS
  Paso bajo del giroscopio    220 Hz
  Paso bajo del término D     96 Hz
"""

_PAGES, _STATED = read_marks(_SHOWN)

_HARMS = {
    "guardar": Harm("Ajustes guardados", "acerca", "guardado              24", "guardado              25"),
    "reiniciar": Harm("Reiniciando", "acerca", "Arranques                   141", "Arranques                   142"),
    "restaurar": Harm("Ajustes de fábrica restaurados", "acerca", "Nube Lenta", "-"),
    "cargador": Harm("Cargador de arranque 1.3"),
    "probar": Harm("Motores girando", "motores", "actual               0 %", "actual               7 %"),
    "calibrar": Harm("Acelerómetro calibrado", "estado", "1.4 grados", "0.0 grados"),
    "borrar": Harm("Registro borrado", "estado", "registrados          9", "registrados          0"),
}


class Abubilla(StatingConsole):
    """Spanish throughout, but for the words that Spanish has borrowed; the refusal names the word for help."""

    name = "abubilla"
    kinds = ("Spanish words, help and values", "titled pages of aligned labels and values", "help named by the refusal")
    banner = "Abubilla 4.7.2 - escriba ayuda\n"
    prompt = "abubilla> "
    error = "Orden desconocida: {line}. Escriba ayuda."
    help_word = "ayuda"
    pages = _PAGES
    stated = _STATED
    harms = _HARMS
    truth = truth_of(_STATED)
    harmful = frozenset(_HARMS)
