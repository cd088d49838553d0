#include "blend.h"

/* share is v / 255 rounded, for v up to 255 * 255, in 16 bits. */
static inline uint16_t share(uint16_t v) {
	v += 127;
	return (uint16_t)(v + 1 + (v >> 8)) >> 8;
}

void blend_luma(uint8_t *dst, int dw, const uint8_t *light, const uint8_t *through, int lw, const struct tile *tiles, int n) {
	for (const struct tile *t = tiles; t < tiles + n; t++)
		for (int y = t->y; y < t->y + t->h; y++) {
			uint8_t *restrict d = dst + (int64_t)y * dw + t->x;
			const uint8_t *restrict l = light + (int64_t)y * lw + t->x, *restrict k = through + (int64_t)y * lw + t->x;
			for (int i = 0; i < t->w; i++)
				d[i] = l[i] + share((uint16_t)(d[i] * k[i]));
		}
}

void blend_chroma(uint8_t *dst, int dw, const int16_t *light, const uint8_t *through, int lw, const struct tile *tiles, int n) {
	for (const struct tile *t = tiles; t < tiles + n; t++) {
		int64_t at = (int64_t)(t->y / 2) * lw + t->x / 2;
		uint8_t *restrict d = dst + (int64_t)(t->y / 2) * dw + t->x / 2;
		const int16_t *restrict l = light + at;
		const uint8_t *restrict k = through + at;
		for (int i = 0; i < (t->w + 1) / 2; i++) {
			int16_t off = d[i] - 128;
			int16_t left = share((uint16_t)((off < 0 ? -off : off) * k[i]));
			int16_t v = 128 + l[i] + (off < 0 ? -left : left);
			v = v < 0 ? 0 : v;
			d[i] = v > 255 ? 255 : v;
		}
	}
}
