// Package labels reads and writes what people marked by hand in clips: places in
// pictures and moments of events.
//
// # Forms
//
// Places are COCO keypoints (T.-Y. Lin and others, 2014, Lecture Notes in
// Computer Science 8693, 740-755; the JSON form is an open standard of labelling
// programs): one image for each marked frame, called CLIP/frame-NNNNNN.png, and
// one annotation for it. Moments are a CSV file with the columns clip, stroke,
// event, t_s.
//
// # Half a pixel
//
// Programs differ in where the centre of the top-left pixel is: at (0, 0), as in
// this product and in the COCO data, whose keypoints are indices of pixels, or at
// (0.5, 0.5), where the picture's corner is (0, 0). Half a pixel is five times
// what the product is off by. Files written here say it in info.pixel_centre;
// another file that does not say it is refused until somebody does.
//
// # Units
//
// Pixels of the upright picture with the centre of the top-left one at (0, 0),
// seconds from the first frame's stamp.
package labels
