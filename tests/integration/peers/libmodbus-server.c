/*
 * A Modbus server made of libmodbus alone, as an independent peer of the gateway's transport.
 *
 *   libmodbus-server tcp PORT UNIT REGISTERS [ADDRESS=VALUE ...]    (PORT 0: any free port)
 *   libmodbus-server rtu PATH UNIT REGISTERS [ADDRESS=VALUE ...]    (115200 8N1)
 *
 * 8N1, since a pty has no parity and refuses the same parity asked for twice.
 * Holding and input registers are set alike. Prints "ready PORT" (0 for rtu), then takes lines
 * "set ADDRESS VALUE" from stdin and answers each with "ok ADDRESS VALUE". Ends with stdin.
 */
#include <errno.h>
#include <modbus.h>
#include <netinet/in.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/select.h>
#include <sys/socket.h>
#include <unistd.h>

static modbus_mapping_t *map;

static void set_register(int address, int value) {
  if (address < 0 || address >= map->nb_registers) return;
  map->tab_registers[address] = (uint16_t)value;
  map->tab_input_registers[address] = (uint16_t)value;
}

/* One line at a time, unbuffered, so that select sees what is left. */
static int take_command(void) {
  static char line[128];
  static size_t length;
  char c;
  if (read(STDIN_FILENO, &c, 1) != 1) return -1;
  if (c != '\n') {
    if (length < sizeof line - 1) line[length++] = c;
    return 0;
  }
  line[length] = '\0';
  length = 0;
  int address, value;
  if (sscanf(line, "set %d %d", &address, &value) != 2) return 0;
  set_register(address, value);
  printf("ok %d %d\n", address, value);
  fflush(stdout);
  return 0;
}

static int port_of(int socket) {
  struct sockaddr_in address;
  socklen_t size = sizeof address;
  return getsockname(socket, (struct sockaddr *)&address, &size) == 0 ? ntohs(address.sin_port) : 0;
}

/* Answers one request; -1 when the other side is gone. */
static int serve(modbus_t *context) {
  uint8_t query[MODBUS_TCP_MAX_ADU_LENGTH];
  int length = modbus_receive(context, query);
  if (length == -1) return -1;
  if (length > 0) modbus_reply(context, query, length, map);
  return 0;
}

static int run_tcp(modbus_t *context) {
  int listener = modbus_tcp_listen(context, 8);
  if (listener == -1) return 1;
  printf("ready %d\n", port_of(listener));
  fflush(stdout);
  fd_set known, ready;
  FD_ZERO(&known);
  FD_SET(STDIN_FILENO, &known);
  FD_SET(listener, &known);
  int highest = listener;
  for (;;) {
    ready = known;
    if (select(highest + 1, &ready, NULL, NULL, NULL) == -1) return 1;
    for (int fd = 0; fd <= highest; fd++) {
      if (!FD_ISSET(fd, &ready)) continue;
      if (fd == STDIN_FILENO) {
        if (take_command() == -1) return 0;
      } else if (fd == listener) {
        int client = accept(listener, NULL, NULL);
        if (client == -1) continue;
        FD_SET(client, &known);
        if (client > highest) highest = client;
      } else {
        modbus_set_socket(context, fd);
        if (serve(context) == -1) {
          close(fd);
          FD_CLR(fd, &known);
        }
      }
    }
  }
}

static int run_rtu(modbus_t *context) {
  if (modbus_connect(context) == -1) return 1;
  printf("ready 0\n");
  fflush(stdout);
  int line = modbus_get_socket(context);
  for (;;) {
    fd_set ready;
    FD_ZERO(&ready);
    FD_SET(STDIN_FILENO, &ready);
    FD_SET(line, &ready);
    if (select(line + 1, &ready, NULL, NULL, NULL) == -1) return 1;
    if (FD_ISSET(STDIN_FILENO, &ready) && take_command() == -1) return 0;
    if (FD_ISSET(line, &ready) && serve(context) == -1 && errno == EIO) return 1;
  }
}

int main(int argc, char **argv) {
  if (argc < 5) return 2;
  int is_tcp = strcmp(argv[1], "tcp") == 0;
  int registers = atoi(argv[4]);
  modbus_t *context = is_tcp ? modbus_new_tcp("127.0.0.1", atoi(argv[2])) : modbus_new_rtu(argv[2], 115200, 'N', 8, 1);
  map = modbus_mapping_new(0, 0, registers, registers);
  if (context == NULL || map == NULL) return 1;
  modbus_set_slave(context, atoi(argv[3]));
  for (int i = 5; i < argc; i++) {
    int address, value;
    if (sscanf(argv[i], "%d=%d", &address, &value) == 2) set_register(address, value);
  }
  int code = is_tcp ? run_tcp(context) : run_rtu(context);
  if (code != 0) fprintf(stderr, "libmodbus: %s\n", modbus_strerror(errno));
  modbus_mapping_free(map);
  modbus_free(context);
  return code;
}
