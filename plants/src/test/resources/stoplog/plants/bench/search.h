/* What the searches of this folder share: a table of the states found, breadth-first search, and the
   measuring of it. The model gives start() and steps(s), which hands each successor to add(). Prints
   states, levels and processor seconds of the best of REPEAT runs. */
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <time.h>

#define REPEAT 5

static uint64_t *table, *states;
static uint64_t mask;
static uint32_t count, room;

static uint64_t mix(uint64_t x) {
  x ^= x >> 32;
  x *= 0xd6e8feb86659fd93u;
  x ^= x >> 32;
  return x;
}

static void place(uint64_t s) {
  uint64_t at = mix(s) & mask;
  while (table[at]) at = (at + 1) & mask;
  table[at] = s + 1;
}

static void add(uint64_t s) {
  uint64_t at = mix(s) & mask;
  for (; table[at]; at = (at + 1) & mask)
    if (table[at] == s + 1) return;
  table[at] = s + 1;
  if (count == room) states = realloc(states, (room *= 2) * sizeof *states);
  states[count++] = s;
  if (2 * (uint64_t)count > mask) {
    free(table);
    mask = 2 * mask + 1;
    table = calloc(mask + 1, sizeof *table);
    for (uint32_t i = 0; i < count; i++) place(states[i]);
  }
}

static uint64_t start(void);
static void steps(uint64_t s);

static double search(uint32_t *levels) {
  struct timespec from, to;
  clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &from);
  mask = 1023;
  table = calloc(mask + 1, sizeof *table);
  room = 1024;
  states = malloc(room * sizeof *states);
  count = 0;
  *levels = 0;
  add(start());
  for (uint32_t next = 0; next < count; ++*levels) {
    for (uint32_t end = count; next < end; next++) steps(states[next]);
  }
  free(table);
  free(states);
  clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &to);
  return (double)(to.tv_sec - from.tv_sec) + 1e-9 * (double)(to.tv_nsec - from.tv_nsec);
}

int main(void) {
  double best = 1e9;
  uint32_t levels = 0;
  for (int i = 0; i < REPEAT; i++) {
    double took = search(&levels);
    if (took < best) best = took;
  }
  printf("%u %u %.6f\n", count, levels, best);
}
