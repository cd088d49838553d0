package clip

import (
	"image"

	"strokereel/track"
)

// Siting is where the chroma samples of a 4:2:0 picture lie.
type Siting int

const (
	// SitedLeft puts a chroma sample level with its left column of pixels and
	// between its two rows (MPEG-2 and H.264 default).
	SitedLeft Siting = iota
	// SitedCentre puts it in the middle of its four pixels (JPEG, MPEG-1).
	SitedCentre
	// SitedRight is the left when a picture is mirrored.
	SitedRight
)

// SitingOf reads a clip's chroma siting, left when it does not say.
func SitingOf(i Info) Siting {
	if i.Siting == "center" {
		return SitedCentre
	}
	return SitedLeft
}

// ToRGBA turns a frame (BT.709, limited range) into a picture for drawing,
// chroma interpolated linearly between its samples. The matrix follows from
// Kr 0.2126 and Kb 0.0722 (ITU-R BT.709-6, 3.2 to 3.4). Pixels of dst are
// overwritten when it has the frame's size; otherwise, or when it is nil, a
// picture is made.
func ToRGBA(dst *image.RGBA, f *track.Frame, siting Siting) *image.RGBA {
	if dst == nil || dst.Rect != image.Rect(0, 0, f.Width, f.Height) {
		dst = image.NewRGBA(image.Rect(0, 0, f.Width, f.Height))
	}
	cw, ch := f.ChromaSize()
	blended := make([]int32, cw)
	u, v := make([]int32, 2*cw), make([]int32, 2*cw)
	for y := range f.Height {
		near, far := chromaRows(y, ch)
		blendRows(blended, f.U[near*cw:(near+1)*cw], f.U[far*cw:(far+1)*cw])
		spread(u, blended, siting)
		blendRows(blended, f.V[near*cw:(near+1)*cw], f.V[far*cw:(far+1)*cw])
		spread(v, blended, siting)
		row := dst.Pix[y*dst.Stride : y*dst.Stride+4*f.Width]
		colourRow(row, f.Y[y*f.Width:(y+1)*f.Width], u, v)
	}
	return dst
}

// chromaRows returns the two chroma rows around a row of pixels: the nearer
// counts three quarters. Both sitings lie between the rows.
func chromaRows(y, ch int) (near, far int) {
	near = y / 2
	far = near - 1 + 2*(y%2)
	return near, min(max(far, 0), ch-1)
}

// blendRows weighs two chroma rows; the sum is 4 times the sample, without its
// offset of 128.
func blendRows(dst []int32, near, far []byte) {
	for k := range dst {
		dst[k] = 3*int32(near[k]) + int32(far[k]) - 4*128
	}
}

// spread gives every pixel of a row its chroma, again 4 times as large.
func spread(dst, src []int32, siting Siting) {
	left, last := src[0], len(src)-1
	for k, c := range src {
		right := src[min(k+1, last)]
		if siting == SitedCentre {
			dst[2*k], dst[2*k+1] = 3*c+left, 3*c+right
		} else {
			dst[2*k], dst[2*k+1] = 4*c, 2*(c+right)
		}
		left = c
	}
}

// Factors of the conversion in 1/65536, for chroma that is 16 times the sample
// (a quarter from each direction of blending).
const (
	fy  = 76309 // 255/219
	frv = 7343  // 2(1-Kr) 255/224 / 16
	fgu = 873   // 2(1-Kb) Kb/Kg 255/224 / 16
	fgv = 2183  // 2(1-Kr) Kr/Kg 255/224 / 16
	fbu = 8652  // 2(1-Kb) 255/224 / 16
)

func colourRow(row, luma []byte, u, v []int32) {
	u, v, row = u[:len(luma)], v[:len(luma)], row[:4*len(luma)]
	for x, l := range luma {
		grey := (int32(l)-16)*fy + 1<<15
		p := row[4*x : 4*x+4 : 4*x+4]
		p[0] = clamp((grey + frv*v[x]) >> 16)
		p[1] = clamp((grey - fgu*u[x] - fgv*v[x]) >> 16)
		p[2] = clamp((grey + fbu*u[x]) >> 16)
		p[3] = 255
	}
}

func clamp(v int32) byte {
	if uint32(v) > 255 {
		return byte(^v >> 31) // 0 below, 255 above
	}
	return byte(v)
}
