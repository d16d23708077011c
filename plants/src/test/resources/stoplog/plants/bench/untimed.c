/* Breadth-first searches made by hand for one packed model each: sliding tiles and the Kanban net.
 *
 *   untimed sliding ROWS COLUMNS | untimed kanban CARDS
 *
 * prints states, edges to other states, levels after the first, and seconds of processor time. A state is one
 * 64-bit word (four bits a cell, three a place), the set of states open addressing, half full at
 * most, that grows as the search goes; indices in order of arrival, as the engine's own table.
 */
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

static uint64_t *records;
static uint32_t *slots;
static size_t size, capacity = 64, mask = 255;

static inline uint64_t mix(uint64_t x) {
  uint64_t h = x * 0xD6E8FEB86659FD93ULL;
  h ^= h >> 32;
  return h * 0xD6E8FEB86659FD93ULL;
}

static inline size_t slot_of(uint64_t record) { return (size_t)(mix(record) >> 32); }

static void rehash(void) {
  size_t wider = (mask + 1) * 2;
  free(slots);
  slots = calloc(wider, sizeof *slots);
  mask = wider - 1;
  for (size_t i = 0; i < size; i++) {
    size_t at = slot_of(records[i]) & mask;
    while (slots[at]) at = (at + 1) & mask;
    slots[at] = (uint32_t)(i + 1);
  }
}

static void add(uint64_t record) {
  size_t at = slot_of(record) & mask;
  while (slots[at]) {
    if (records[slots[at] - 1] == record) return;
    at = (at + 1) & mask;
  }
  if (size == capacity) {
    capacity *= 2;
    records = realloc(records, capacity * sizeof *records);
  }
  records[size++] = record;
  slots[at] = (uint32_t)size;
  if (size * 2 > mask) rehash();
}

static int rows, columns;
static int neighbours[16][5];

static int sliding(uint64_t s) {
  int blank = 0;
  while ((s >> (4 * blank) & 15) != 0) blank++;
  int edges = 0;
  for (int *n = neighbours[blank]; *n >= 0; n++) {
    uint64_t tile = s >> (4 * *n) & 15;
    add((s & ~(15ULL << (4 * *n))) | tile << (4 * blank));
    edges++;
  }
  return edges;
}

/* Places of cell i = 0..3: cards free at 4i, at work at 4i+1, to be redone at 4i+2, done at 4i+3. */
#define HAS(p) (s >> (3 * (p)) & 7)
#define ONE(p) (1ULL << (3 * (p)))
static int kanban(uint64_t s) {
  int edges = 0;
  for (int c = 0; c < 16; c += 4) {
    if (HAS(c + 1)) {
      add(s - ONE(c + 1) + ONE(c + 2));
      add(s - ONE(c + 1) + ONE(c + 3));
      edges += 2;
    }
    if (HAS(c + 2)) {
      add(s - ONE(c + 2) + ONE(c + 1));
      edges++;
    }
  }
  if (HAS(0)) {
    add(s - ONE(0) + ONE(1));
    edges++;
  }
  if (HAS(3) && HAS(4) && HAS(8)) {
    add(s - ONE(3) - ONE(4) - ONE(8) + ONE(0) + ONE(5) + ONE(9));
    edges++;
  }
  if (HAS(7) && HAS(11) && HAS(12)) {
    add(s - ONE(7) - ONE(11) - ONE(12) + ONE(4) + ONE(8) + ONE(13));
    edges++;
  }
  if (HAS(15)) {
    add(s - ONE(15) + ONE(12));
    edges++;
  }
  return edges;
}

int main(int count, char **arguments) {
  int (*next)(uint64_t) = 0;
  uint64_t start = 0;
  if (count == 4 && !strcmp(arguments[1], "sliding")) {
    rows = atoi(arguments[2]);
    columns = atoi(arguments[3]);
    next = sliding;
    for (int i = 0; i < rows * columns; i++) {
      start |= (uint64_t)i << (4 * i);
      int k = 0;
      if (i >= columns) neighbours[i][k++] = i - columns;
      if (i < (rows - 1) * columns) neighbours[i][k++] = i + columns;
      if (i % columns) neighbours[i][k++] = i - 1;
      if (i % columns < columns - 1) neighbours[i][k++] = i + 1;
      neighbours[i][k] = -1;
    }
  } else if (count == 3 && !strcmp(arguments[1], "kanban")) {
    next = kanban;
    uint64_t cards = (uint64_t)atoi(arguments[2]);
    start = cards | cards << 12 | cards << 24 | cards << 36;
  } else {
    fprintf(stderr, "usage: untimed sliding ROWS COLUMNS | untimed kanban CARDS\n");
    return 2;
  }
  clock_t began = clock();
  records = malloc(capacity * sizeof *records);
  slots = calloc(mask + 1, sizeof *slots);
  add(start);
  uint64_t edges = 0;
  int levels = 0;
  for (size_t at = 0; at < size; levels++) {
    for (size_t end = size; at < end; at++) edges += next(records[at]);
  }
  double seconds = (double)(clock() - began) / CLOCKS_PER_SEC;
  printf("%zu %llu %d %.3f\n", size, (unsigned long long)edges, levels - 1, seconds);
  return 0;
}
