// Package qr reads the QR code (ISO/IEC 18004) in a picture.
//
// A scan over the rows finds the patterns that a code has in its corners; OpenCV's
// detector is shown only the parts of the picture around them, grown to a size at
// which it reads well. That takes a hundredth of what showing it whole pictures
// would, most of which hold no code.
//
// The program binds the detector itself: a binding without a guard lets an
// exception of OpenCV end the process, and a picture must never end a night.
//
// What it refuses: a picture with several codes gives one of them; one that
// cannot be made out gives none.
package qr
