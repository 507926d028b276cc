/**
 * Every command that Help tells, as it is typed. `tests/integration/documented-commands.test.ts` runs each one as written,
 * or says why it cannot; a command that is in neither fails it.
 */
export const DOCUMENTED_COMMANDS = {
  version: 'evenpull --version',
  makeStandIn:
    'gcc tests/integration/peers/libmodbus-server.c -o /tmp/amplifier $(pkg-config --cflags --libs libmodbus)',
  standIn: '/tmp/amplifier tcp 1502 1 16 0=12000 1=12800',
  probe: 'evenpull probe 127.0.0.1:1502 --unit 1 --address 0 --count 10',
  probeSerial: 'evenpull probe /dev/ttyUSB0 --baud 19200 --parity even --unit 1',
  check: 'evenpull check line.yaml',
  doctor: 'evenpull doctor line.yaml',
  run: 'evenpull run line.yaml',
  firstUser: 'evenpull users add line.yaml "A. Fitter" --role engineer',
  collector: 'evenpull users add line.yaml collector --role view --machine',
  serviceUser: 'sudo useradd --system --home-dir /var/lib/evenpull --create-home evenpull',
  printUnit: 'evenpull service line.yaml --user evenpull > evenpull-line.service',
  verifyUnit: 'systemd-analyze verify ./evenpull-line.service',
  enableUnit:
    'sudo mv evenpull-line.service /etc/systemd/system/\nsudo systemctl daemon-reload\nsudo systemctl enable --now evenpull-line',
  unitState: 'systemctl status evenpull-line\njournalctl --unit evenpull-line --since today',
  pack: 'npm pack',
  install: 'npm install --global ./evenpull-*.tgz',
  buildImage: 'podman build --file gateway/deploy/Containerfile --tag evenpull .',
  containerUser:
    'podman run --rm -it --userns=keep-id:uid=1000,gid=1000 -v ./line-1:/line evenpull evenpull users add /line/line.yaml "A. Fitter" --role engineer',
  runContainer:
    'podman run --detach --name line-1 --userns=keep-id:uid=1000,gid=1000 --publish 127.0.0.1:8420:8420 -v ./line-1:/line evenpull',
  backup: 'evenpull backup line.yaml backup-1',
  backupDaily: 'evenpull backup line.yaml "backups/$(date +%F)"',
  restore: 'evenpull restore backup-1 restored/line.yaml',
  checkRestored: 'evenpull check restored/line.yaml\nevenpull doctor restored/line.yaml',
  stopUnit: 'sudo systemctl stop evenpull-line',
  startUnit: 'sudo systemctl start evenpull-line',
  listen:
    "mosquitto_sub -V 5 -h broker.example -p 8883 --cafile plant-ca.pem -u reader -P PASSWORD -t 'mill/+/zones/+/values' -v",
  health: 'curl --silent http://127.0.0.1:8420/api/health',
  serialLines: 'ls -l /dev/serial/by-id/',
  serialGroup: 'sudo usermod --append --groups dialout "$USER"',
  space: 'df -h .',
  clock: 'timedatectl',
} as const

export type CommandId = keyof typeof DOCUMENTED_COMMANDS
