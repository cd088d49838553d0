#include <math.h>
#include <string.h>

#include "rows.h"

/* Sums of products of samples with weights, 16 bits each. Weights are in 1/UNIT
   and sums begin UNDER samples above zero, so that samples of 8 bits leave room
   for what Keys' kernel goes beyond them: an eighth, below and above. What is
   borrowed on the way cancels. Loops over ROWS or over columns are such that the
   compiler takes eight at a time. */
enum {
	UNIT = 1 << WEIGHT_BITS,
	UNDER = 64,
	BEGIN = UNDER * UNIT + UNIT / 2, /* the sum of nothing, with half a sample for rounding */
	PHASES = 1 << PHASE_BITS,
};

/* settle ends a sum: rounded to a sample of 0 to 255. */
static inline uint16_t settle(uint16_t sum) {
	int16_t v = (int16_t)(sum >> WEIGHT_BITS) - UNDER;
	v = v < 0 ? 0 : v;
	return v > 255 ? 255 : v;
}

static inline int clamp(int v, int size) { return v < 0 ? 0 : v >= size ? size - 1 : v; }

static inline double least(double a, double b) { return a < b ? a : b; }

/* column computes n samples of one row of the part, from column x of the picture
   on, at height y. */
static void column(uint16_t *restrict out, const uint8_t *src, int sw, int sh, int x, int n, double y, int taps, const uint16_t *weight) {
	int q = (int)floor(y * PHASES + 0.5);
	int first = (q >> PHASE_BITS) - taps / 2 + 1;
	const uint16_t *w = weight + (q & (PHASES - 1)) * taps * ROWS;
	for (int k = 0; k < n; k++)
		out[k] = BEGIN;
	for (int s = 0; s < taps; s += 4) {
		const uint8_t *restrict r[4];
		uint16_t v[4];
		for (int k = 0; k < 4; k++) {
			r[k] = src + (int64_t)clamp(first + s + k, sh) * sw + x;
			v[k] = s + k < taps ? w[(s + k) * ROWS] : 0;
		}
		for (int k = 0; k < n; k++)
			out[k] += v[0] * r[0][k] + v[1] * r[1][k] + v[2] * r[2][k] + v[3] * r[3][k];
	}
	for (int k = 0; k < n; k++)
		out[k] = settle(out[k]);
}

/* down computes a row of the part, columns lo to hi of the picture. Where the
   picture is turned a column lies a little higher or lower than the one before;
   those that differ by less than a sixteenth of a sample are taken together. */
static void down(uint16_t *out, int lo, int hi, const uint8_t *src, int sw, int sh, int j, const struct mapping *m, const uint16_t *weight) {
	int from = lo > 0 ? lo : 0, to = hi < sw ? hi : sw;
	double slope = m->d / m->a;
	int block = to - from;
	if (slope != 0) {
		double most = 1 / (8 * fabs(slope));
		block = most < 1 ? 1 : (int)least(block, most);
	}
	for (int x = from; x < to; x += block) {
		int end = x + block < to ? x + block : to;
		double y = slope * ((x + end - 1) / 2.0 - m->b * j - m->c) + m->e * j + m->f;
		column(out + (x - lo), src, sw, sh, x, end - x, y, m->n, weight);
	}
	for (int x = lo; x < from; x++)
		out[x - lo] = out[from - lo];
	for (int x = to; x < hi; x++)
		out[x - lo] = out[to - 1 - lo];
}

typedef uint16_t lanes __attribute__((vector_size(2 * ROWS), aligned(2)));
typedef int16_t signed_lanes __attribute__((vector_size(2 * ROWS)));
typedef uint8_t bytes __attribute__((vector_size(ROWS)));

/* settled is settle for a sample of each row. */
static inline bytes settled(lanes sum) {
	signed_lanes v = (signed_lanes)(sum >> WEIGHT_BITS) - UNDER;
	v &= v > 0;
	signed_lanes above = v > 255;
	return __builtin_convertvector((v & ~above) | (255 & above), bytes);
}

/* across computes rows of the part from their columns, the first sample at x and
   each next one step further. */
static inline __attribute__((always_inline)) void across(uint8_t *const *rows, int high, const lanes *mid, double x, const struct mapping *m, int n, const uint16_t *weight) {
	enum { BITS = 32 };
	int64_t at = llround(ldexp(x, BITS)) + (1LL << (BITS - PHASE_BITS - 1)), by = llround(ldexp(m->a, BITS));
	for (int i = 0; i < m->wide; i++, at += by) {
		int q = (int)(at >> (BITS - PHASE_BITS));
		const lanes *p = mid + (q >> PHASE_BITS) - n / 2 + 1;
		const lanes *w = (const lanes *)weight + (q & (PHASES - 1)) * n;
		lanes sum = BEGIN + (lanes){0};
		for (int k = 0; k < n; k++)
			sum += w[k] * p[k];
		uint64_t out = (uint64_t)settled(sum);
		for (int k = 0; k < high; k++)
			rows[k][i] = (uint8_t)(out >> (8 * k));
	}
}

void place_rows(uint8_t *dst, int dw, const uint8_t *src, int sw, int sh, const struct mapping *m, const uint16_t *weight, uint16_t *room, int size) {
	/* Rows that are taken together share their places across: in a turned picture
	   four differ little enough. */
	int step = m->b == 0 ? ROWS : ROWS / 2;
	uint16_t *flat = room, *mid = room + ROWS * size;
	for (int j = 0; j < m->high; j += step) {
		int high = j + step < m->high ? step : m->high - j;
		double x = m->c + m->b * (j + (step - 1) / 2.0);
		int lo = (int)floor(x) - m->n / 2, hi = (int)ceil(x + m->a * (m->wide - 1)) + m->n / 2 + 1;
		uint8_t *rows[ROWS];
		for (int k = 0; k < high; k++) {
			rows[k] = dst + (int64_t)(j + k) * dw;
			down(flat + k * size, lo, hi, src, sw, sh, j + k, m, weight);
		}
		for (int i = 0; i < hi - lo; i++)
			for (int k = 0; k < ROWS; k++)
				mid[ROWS * i + k] = flat[k * size + i];
		if (m->n == 4 && high == ROWS) /* nearly always: a picture that is not made smaller */
			across(rows, ROWS, (lanes *)mid, x - lo, m, 4, weight);
		else
			across(rows, high, (lanes *)mid, x - lo, m, m->n, weight);
	}
}
