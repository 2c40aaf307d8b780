"""Corruira: Portuguese words beside the borrowed ones of the trade, plain `label: value unit` pages. Invented."""

from __future__ import annotations

from tests_support.other_consoles.stating import Harm, StatingConsole, truth_of
from tests_support.sealed_consoles_a.marks import read_marks

_SHOWN = """\
--- ajuda
Comandos de leitura:
  ajuda - mostra esta lista
  sobre - mostra firmware, placa e aeronave
  receptor - mostra o receptor e os canais
  chaves - mostra as chaves de modo
  portas - mostra as portas seriais
  osd - mostra o OSD
  video - mostra o transmissor de vídeo
  bateria - mostra a bateria
  motores - mostra os motores e a malha de controle
  failsafe - mostra o failsafe
  estado - mostra sensores, bloqueios e registro
  ganhos - mostra ganhos e filtros
Comandos de ação:
  salvar - salva as configurações
  reiniciar - reinicia a placa
  restaurar - restaura as configurações de fábrica
  atualizar - entra no bootloader
  girar - gira os motores para teste
  calibrar - calibra o acelerômetro
  apagar - apaga o registro de voo
--- sobre
Firmware: Corruira @@ firmware.name='Corruira'
Versão do firmware: 2.10.3 @@ firmware.version='2.10.3'
Data de compilação: 2026-01-22 @@ firmware.built='2026-01-22'
Versão do bootloader: 1.4
Placa: TABOA F722 @@ board.name='TABOA F722'
Revisão da placa: B
Número de série: TB7-40518 @@ board.serial='TB7-40518'
Nome da aeronave: Folha Seca @@ craft.name='Folha Seca'
Peso da aeronave: 295 g
Gravações: 38
Partidas: 176
--- receptor
Tipo de receptor: serial @@ receiver.kind='serial'
Protocolo do receptor: CRSF @@ receiver.protocol='crsf'
Porta do receptor: UART2 @@ receiver.port='UART2'
Sinal invertido: não @@ receiver.inverted=False
Half-duplex: não @@ receiver.half_duplex=False
Telemetria: ligada @@ receiver.telemetry=True
Intervalo da telemetria: 120 ms
Taxa de pacotes: 150 Hz
Suavização: 28 Hz
Ordem dos canais: TAER @@ channels.order='TAER'
Pulso mínimo: 992 us @@ channels.low=992
Pulso central: 1497 us @@ channels.centre=1497
Pulso máximo: 2006 us @@ channels.high=2006
Zona morta: 6 us
Centro do servo: 1515 us
--- chaves
Armar: canal 5, de 1720 a 2090 us @@ switch 0 ('arm', 5, 1720, 2090)
Nivelar: canal 6, de 910 a 1290 us @@ switch 1 ('level', 6, 910, 1290)
Buzina: canal 7, de 1660 a 2045 us @@ switch 2 ('beeper', 7, 1660, 2045)
--- portas
UART1: console, 115200 baud @@ port 0 ('UART1', ('console',), 115200)
UART2: receptor, 420000 baud @@ port 1 ('UART2', ('receiver',), 420000)
UART3: GPS, 38400 baud @@ port 2 ('UART3', ('positioning',), 38400)
UART4: telemetria, 57600 baud @@ port 3 ('UART4', ('telemetry',), 57600)
UART6: livre @@ port 4 ('UART6', ('unused',))
Velocidade do I2C: 400 kHz
Erros de recepção: 2
--- osd
OSD: ligado @@ overlay.enabled=True
Sistema de vídeo: NTSC @@ overlay.system='ntsc'
Colunas: 30 @@ overlay.columns=30
Linhas: 13 @@ overlay.rows=13
Brilho: 3
Taxa de atualização: 15 Hz
Bateria: coluna 2, linha 11, visível @@ element 0 ('battery', 2, 11, True)
Cronômetro: coluna 23, linha 11, visível @@ element 1 ('timer', 23, 11, True)
Avisos: coluna 9, linha 8, visível @@ element 2 ('warnings', 9, 8, True)
Velocidade: coluna 3, linha 6, oculto @@ element 3 ('speed', 3, 6, False)
--- video
Enlace de vídeo: analógico @@ video.link='analog'
Banda: R @@ video.band='R'
Canal: 2 @@ video.channel=2
Frequência: 5695 MHz @@ video.frequency_mhz=5695
Potência: 200 mW @@ video.power_mw=200.0
Potência máxima: 600 mW
Temperatura do transmissor: 42 C
--- bateria
Células: 6 @@ battery.cells=6
Tensão da bateria: 23,52 V @@ battery.volts=23.52
Divisor de tensão: 11,4 @@ battery.scale=11.4
Tensão mínima por célula: 3,30 V @@ battery.cell_low=3.3
Tensão de aviso por célula: 3,50 V @@ battery.cell_warn=3.5
Tensão máxima por célula: 4,20 V @@ battery.cell_full=4.2
Capacidade: 1100 mAh
Consumo: 0 mAh
Corrente: 0,38 A
Tensão de alimentação: 5,01 V
--- motores
Protocolo dos motores: DSHOT300 @@ motors.protocol='dshot300'
DShot bidirecional: ligado @@ motors.bidirectional=True
Polos do motor: 12 @@ motors.poles=12
Marcha lenta: 4,5 % @@ motors.idle_percent=4.5
Motores invertidos: sim @@ motors.reversed=True
KV do motor: 1850 rpm/V
Saída atual: 0 %
Malha de controle: 3200 Hz @@ motors.loop_hz=3200
Leitura do giroscópio: 6400 Hz
--- failsafe
Ação do failsafe: cortar motores @@ failsafe.action='drop'
Atraso do failsafe: 0,6 s @@ failsafe.delay_s=0.6
Acelerador no failsafe: 1005 us @@ failsafe.throttle_us=1005
Tempo de recuperação: 0,9 s
--- estado
Giroscópio: encontrado @@ sensors.gyro='found'
Acelerômetro: encontrado @@ sensors.accelerometer='found'
Barômetro: ausente @@ sensors.barometer='missing'
Bússola: ausente
Inclinação: 2,1 graus
Bloqueios para armar: sem sinal do receptor, USB conectado @@ arming.blocks=('no-receiver-link', 'usb-connected')
Dispositivo de registro: flash @@ logger.device='flash'
Espaço livre: 12582912 bytes @@ logger.free_bytes=12582912
Taxa de registro: 800 Hz
Voos registrados: 14
Carga da CPU: 33 %
Temperatura da CPU: 46 C
Tempo ligado: 102 s
Cor do LED: azul
--- ganhos
Rolagem: P 41, I 73, D 27
Arfagem: P 44, I 79, D 29
Guinada: P 36, I 70, D 0
Filtro do giroscópio: 205 Hz
Filtro do termo D: 91 Hz
"""

_PAGES, _STATED = read_marks(_SHOWN)

_HARMS = {
    "salvar": Harm("Configurações salvas", "sobre", "Gravações: 38", "Gravações: 39"),
    "reiniciar": Harm("Reiniciando", "sobre", "Partidas: 176", "Partidas: 177"),
    "restaurar": Harm("Configurações de fábrica restauradas", "sobre", "Folha Seca", "-"),
    "atualizar": Harm("Bootloader 1.4, envie o firmware"),
    "girar": Harm("Motores girando", "motores", "Saída atual: 0 %", "Saída atual: 6 %"),
    "calibrar": Harm("Acelerômetro calibrado", "estado", "2,1 graus", "0,0 graus"),
    "apagar": Harm("Registro apagado", "estado", "Voos registrados: 14", "Voos registrados: 0"),
}


class Corruira(StatingConsole):
    """Words of Brazil, decimal commas, one page a subject without a title; the refusal names the word for help."""

    name = "corruira"
    kinds = ("Portuguese words, help and values", "label: value unit without sections", "decimal commas")
    banner = "Corruira 2.10.3\n"
    prompt = "corruira $ "
    error = "Comando desconhecido: {line} (digite ajuda)"
    help_word = "ajuda"
    pages = _PAGES
    stated = _STATED
    harms = _HARMS
    truth = truth_of(_STATED)
    harmful = frozenset(_HARMS)
