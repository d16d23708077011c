/* Breadth-first search of the Kanban net of four cells, specialised by hand: -DCARDS=4.
   A state is one word with three bits a place (CARDS up to 7): in cell i the places kan, m, back and
   out. Prints states, levels and processor seconds of the best of REPEAT runs. */
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <time.h>

#define REPEAT 5
#define KAN 0
#define M 1
#define BACK 2
#define OUT 3
#define ONE(cell, place) ((uint64_t)1 << (3 * (4 * (cell) + (place))))
#define HAS(s, cell, place) ((s) >> (3 * (4 * (cell) + (place))) & 7)

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

static double search(uint32_t *levels) {
  struct timespec from, to;
  clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &from);
  mask = 1023;
  table = calloc(mask + 1, sizeof *table);
  room = 1024;
  states = malloc(room * sizeof *states);
  count = 0;
  *levels = 0;
  add(CARDS * (ONE(0, KAN) + ONE(1, KAN) + ONE(2, KAN) + ONE(3, KAN)));
  for (uint32_t next = 0; next < count; ++*levels) {
    for (uint32_t end = count; next < end; next++) {
      uint64_t s = states[next];
      for (int i = 0; i < 4; i++) {
        if (HAS(s, i, M)) {
          add(s - ONE(i, M) + ONE(i, BACK));
          add(s - ONE(i, M) + ONE(i, OUT));
        }
        if (HAS(s, i, BACK)) add(s - ONE(i, BACK) + ONE(i, M));
      }
      if (HAS(s, 0, KAN)) add(s - ONE(0, KAN) + ONE(0, M));
      if (HAS(s, 0, OUT) && HAS(s, 1, KAN) && HAS(s, 2, KAN))
        add(s - ONE(0, OUT) - ONE(1, KAN) - ONE(2, KAN) + ONE(0, KAN) + ONE(1, M) + ONE(2, M));
      if (HAS(s, 1, OUT) && HAS(s, 2, OUT) && HAS(s, 3, KAN))
        add(s - ONE(1, OUT) - ONE(2, OUT) - ONE(3, KAN) + ONE(1, KAN) + ONE(2, KAN) + ONE(3, M));
      if (HAS(s, 3, OUT)) add(s - ONE(3, OUT) + ONE(3, KAN));
    }
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
