#include "detector.h"

#include <cstring>
#include <new>
#include <string>
#include <vector>

#include <opencv2/core.hpp>
#include <opencv2/imgproc.hpp>
#include <opencv2/wechat_qrcode.hpp>

// OpenCV's other detector finds codes but reads none where OpenCV was built
// without its decoder, as that of Debian 12 was. This one is used without its
// networks: where a code may be is found out before.
using Detector = cv::wechat_qrcode::WeChatQRCode;

void *qr_new(void) {
	try {
		return new Detector();
	} catch (...) {
		return nullptr;
	}
}

void qr_free(void *detector) { delete static_cast<Detector *>(detector); }

int qr_read(void *detector, const unsigned char *grey, int width, int height, int stride, double grow, char *out, int size) {
	try {
		// The detector does not write to what it is shown.
		const cv::Mat whole(height, width, CV_8UC1, const_cast<unsigned char *>(grey), stride);
		cv::Mat shown;
		cv::resize(whole, shown, cv::Size(), grow, grow, grow < 1 ? cv::INTER_AREA : cv::INTER_CUBIC);
		for (const std::string &text : static_cast<Detector *>(detector)->detectAndDecode(shown)) {
			if (!text.empty() && text.size() < static_cast<size_t>(size)) {
				std::memcpy(out, text.c_str(), text.size() + 1);
				return static_cast<int>(text.size());
			}
		}
	} catch (...) {
		// A picture that the detector cannot bear shows no code.
	}
	return 0;
}
