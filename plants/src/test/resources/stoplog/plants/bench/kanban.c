/* Breadth-first search of the Kanban net of four cells, specialised by hand: -DCARDS=4.
   A state is one word with three bits a place (CARDS up to 7): in cell i the places kan, m, back and
   out. */
#include "search.h"

#define KAN 0
#define M 1
#define BACK 2
#define OUT 3
#define ONE(cell, place) ((uint64_t)1 << (3 * (4 * (cell) + (place))))
#define HAS(s, cell, place) ((s) >> (3 * (4 * (cell) + (place))) & 7)

static uint64_t start(void) {
  return CARDS * (ONE(0, KAN) + ONE(1, KAN) + ONE(2, KAN) + ONE(3, KAN));
}

static void steps(uint64_t s) {
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
