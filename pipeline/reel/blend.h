#include <stdint.h>

/* tile is a part of a layer, in px; w and h are at most those of the layer. */
struct tile {
	int32_t x, y, w, h;
};

/* blend_luma and blend_chroma lay a layer over a plane where its tiles are: light
   on top of what comes through of the sample below, in 255ths. dst is the plane's
   sample under the layer's first one; dw and lw are the rows' lengths. */
void blend_luma(uint8_t *dst, int dw, const uint8_t *light, const uint8_t *through, int lw, const struct tile *tiles, int n);
void blend_chroma(uint8_t *dst, int dw, const int16_t *light, const uint8_t *through, int lw, const struct tile *tiles, int n);
