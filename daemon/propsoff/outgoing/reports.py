"""Reports to an MQTT broker, as the target of a queue."""

from __future__ import annotations

from typing import TYPE_CHECKING

import aiomqtt

from propsoff.outgoing.broker import UnconfirmedError
from propsoff.outgoing.lane import Later, Outcome, Sent

if TYPE_CHECKING:
    from propsoff.outgoing.broker import Broker
    from propsoff.outgoing.outbox import Entry


class BrokerReports:
    """Publishes each report, once there is a connection."""

    def __init__(self, broker: Broker) -> None:
        self._broker = broker
        self.name = broker.name

    async def ready(self) -> None:
        """Comes back when the broker is connected."""
        await self._broker.open.wait()

    async def attempt(self, entry: Entry) -> Outcome:
        """Publish the report once."""
        try:
            await self._broker.publish_report(entry.body)
        except (aiomqtt.MqttError, UnconfirmedError) as error:
            return Later(str(error))
        return Sent()
