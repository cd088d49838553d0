#include <stdint.h>

/* mapping says where the samples of a part of a plane lie in the picture's plane:
   sample (i, j) of the part at x = a i + b j + c, y = d i + e j + f. */
struct mapping {
	double a, b, c, d, e, f;
	int wide, high; /* of the part */
	int n;          /* taps of a place */
};

enum {
	ROWS = 8,       /* computed at once */
	WEIGHT_BITS = 7,
	PHASE_BITS = 6,
};

/* place_rows computes the samples of a part; dst is its first one. weight has n
   weights for each phase, each of them ROWS times. room is for ROWS rows of size columns, twice over: as
   many columns of the picture as a row of the part is made of, and one more. */
void place_rows(uint8_t *dst, int dw, const uint8_t *src, int sw, int sh, const struct mapping *m, const uint16_t *weight, uint16_t *room, int size);
