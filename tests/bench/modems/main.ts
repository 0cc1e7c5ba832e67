import { createSocket } from 'node:dgram';
import { once } from 'node:events';
import { answerRequest } from './modemTable.ts';

/** A process of modems, one a UDP port of 127.0.0.1: `node main.ts FIRST_PORT COUNT`. Says "ready", and ends with its parent. */
const [firstPort, count] = process.argv.slice(2).map(Number) as [number, number];

for (let port = firstPort; port < firstPort + count; port++) {
  const socket = createSocket('udp4');
  socket.on('message', (message, from) => socket.send(answerRequest(message), from.port, from.address));
  socket.bind(port, '127.0.0.1');
  await once(socket, 'listening');
}
process.send?.('ready');
process.once('disconnect', () => process.exit(0));
