"""A Modbus TCP server made of pymodbus alone, as an independent peer of the gateway's transport.

    pymodbus-server.py UNIT REGISTERS [ADDRESS=VALUE ...]

Holding and input registers are set alike. Prints "ready PORT" and ends with its stdin.
Written for pymodbus 3.0.0rc1, the one of Debian 12.
"""

import asyncio
import sys

from pymodbus.datastore import ModbusSequentialDataBlock, ModbusServerContext, ModbusSlaveContext
from pymodbus.server.async_io import ModbusTcpServer


def values(registers, settings):
    block = [0] * registers
    for setting in settings:
        address, value = setting.split("=")
        block[int(address)] = int(value)
    return block


async def main(unit, registers, settings):
    block = values(registers, settings)
    slave = ModbusSlaveContext(
        hr=ModbusSequentialDataBlock(0, list(block)),
        ir=ModbusSequentialDataBlock(0, list(block)),
        zero_mode=True,
    )
    context = ModbusServerContext(slaves={unit: slave}, single=False)
    server = ModbusTcpServer(context, address=("127.0.0.1", 0), allow_reuse_address=True)
    serving = asyncio.ensure_future(server.serve_forever())
    await server.serving
    print("ready", server.server.sockets[0].getsockname()[1], flush=True)
    await asyncio.get_running_loop().run_in_executor(None, sys.stdin.read)
    serving.cancel()


asyncio.run(main(int(sys.argv[1]), int(sys.argv[2]), sys.argv[3:]))
