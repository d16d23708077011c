/* Breadth-first search of a sliding puzzle, specialised by hand: -DROWS=3 -DCOLUMNS=3.
   A state is one word with four bits a cell. */
#include "search.h"

#define CELLS (ROWS * COLUMNS)

static uint64_t swapped(uint64_t s, int blank, int from) {
  uint64_t tile = s >> 4 * from & 15;
  return (s & ~((uint64_t)15 << 4 * from)) | tile << 4 * blank;
}

static uint64_t start(void) {
  uint64_t start = 0;
  for (int i = 0; i < CELLS; i++) start |= (uint64_t)i << 4 * i;
  return start;
}

static void steps(uint64_t s) {
  int blank = 0;
  while (s >> 4 * blank & 15) blank++;
  int row = blank / COLUMNS, column = blank % COLUMNS;
  if (row > 0) add(swapped(s, blank, blank - COLUMNS));
  if (row < ROWS - 1) add(swapped(s, blank, blank + COLUMNS));
  if (column > 0) add(swapped(s, blank, blank - 1));
  if (column < COLUMNS - 1) add(swapped(s, blank, blank + 1));
}
