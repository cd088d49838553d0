"""Follows the sticker of a rendered clip with OpenCV's general trackers and
recipes. Each is given the same box round the sticker, from the truth, in the first
frame that shows it whole, and nothing afterwards. Prints a list as JSON.
Usage: python3 others.py CLIP TRUTH"""
import json
import math
import sys
import time

import cv2
import numpy as np

LOST = 5.0  # px off from which the sticker is lost
REACH = 70  # px around the last place in which recipes look


def made(name):
    """One of OpenCV's trackers, None where this build has it not."""
    for home in (cv2, getattr(cv2, "legacy", None)):
        make = getattr(home, name + "_create", None) or getattr(getattr(home, name, None), "create", None)
        if make:
            return make
    return None


class Library:
    def __init__(self, make):
        self.tracker = make()

    def start(self, frame, box):
        self.tracker.init(frame, tuple(int(round(v)) for v in box))
        # Some keep whole pixels: what that moves the middle by is not an error.
        x, y, w, h = box
        i = [int(round(v)) for v in box]
        self.shift = (x + w / 2 - i[0] - i[2] / 2, y + h / 2 - i[1] - i[3] / 2)

    def next(self, frame):
        ok, (x, y, w, h) = self.tracker.update(frame)
        return (x + w / 2 + self.shift[0] - 0.5, y + h / 2 + self.shift[1] - 0.5) if ok else None


class Recipe:
    """Keeps the last place and looks in a window around it."""

    def start(self, frame, box):
        x, y, w, h = box
        self.at = (x + w / 2 - 0.5, y + h / 2 - 0.5)
        self.size = max(w, h)
        self.learn(frame)

    def window(self, frame, reach):
        h, w = frame.shape[:2]
        x0, y0 = max(0, int(self.at[0] - reach)), max(0, int(self.at[1] - reach))
        return frame[y0 : min(h, int(self.at[1] + reach) + 1), x0 : min(w, int(self.at[0] + reach) + 1)], x0, y0


class Template(Recipe):
    """The best place of the first picture of the sticker, to a fraction of a pixel
    by a parabola through the peak."""

    def learn(self, frame):
        part, x0, y0 = self.window(frame, self.size / 2)
        self.template, self.off = part.copy(), (self.at[0] - x0, self.at[1] - y0)

    def next(self, frame):
        part, x0, y0 = self.window(frame, REACH + self.size / 2)
        score = cv2.matchTemplate(part, self.template, cv2.TM_CCOEFF_NORMED)
        _, best, _, (x, y) = cv2.minMaxLoc(score)
        if best < 0.4:
            return None

        def peak(a, b, c):
            return 0.5 * (a - c) / (a - 2 * b + c) if a - 2 * b + c else 0.0

        dx = peak(*score[y, x - 1 : x + 2]) if 0 < x < score.shape[1] - 1 else 0.0
        dy = peak(*score[y - 1 : y + 2, x]) if 0 < y < score.shape[0] - 1 else 0.0
        self.at = (x0 + x + dx + self.off[0], y0 + y + dy + self.off[1])
        return self.at


class Hue(Recipe):
    """The middle of the largest patch of the sticker's hue."""

    def learn(self, frame):
        part, _, _ = self.window(frame, self.size / 6)
        hsv = cv2.cvtColor(part, cv2.COLOR_BGR2HSV).reshape(-1, 3)
        self.hue, self.full = np.median(hsv[:, 0]), np.median(hsv[:, 1])

    def next(self, frame):
        part, x0, y0 = self.window(frame, REACH)
        hsv = cv2.cvtColor(part, cv2.COLOR_BGR2HSV).astype(np.int16)
        apart = np.abs((hsv[:, :, 0] - int(self.hue) + 90) % 180 - 90)
        mask = ((apart < 12) & (hsv[:, :, 1] > 0.5 * self.full)).astype(np.uint8)
        n, _, stats, middles = cv2.connectedComponentsWithStats(mask)
        if n < 2:
            return None
        best = 1 + int(np.argmax(stats[1:, cv2.CC_STAT_AREA]))
        if stats[best, cv2.CC_STAT_AREA] < 8:
            return None
        self.at = (x0 + middles[best][0], y0 + middles[best][1])
        return self.at


class Flow(Recipe):
    """The median way of a few points on the sticker by optical flow (Lucas and
    Kanade's, in pyramids)."""

    def learn(self, frame):
        self.grey = cv2.cvtColor(frame, cv2.COLOR_BGR2GRAY)
        r = self.size / 4
        grid = [(self.at[0] + r * i, self.at[1] + r * j) for i in (-1, 0, 1) for j in (-1, 0, 1)]
        self.points = np.array(grid, np.float32).reshape(-1, 1, 2)

    def next(self, frame):
        grey = cv2.cvtColor(frame, cv2.COLOR_BGR2GRAY)
        now, found, _ = cv2.calcOpticalFlowPyrLK(self.grey, grey, self.points, None, winSize=(15, 15), maxLevel=3)
        found = found.ravel() == 1
        if found.sum() < 3:
            return None
        way = np.median((now - self.points)[found], axis=0).ravel()
        self.at = (self.at[0] + float(way[0]), self.at[1] + float(way[1]))
        self.grey, self.points = grey, self.points + way
        return self.at


def trackers():
    for name in ("CSRT", "KCF", "MIL", "MOSSE", "MedianFlow"):
        make = made("Tracker" + name)
        if make:
            yield name, Library(make)
    yield "template", Template()
    yield "hue mask", Hue()
    yield "optical flow", Flow()


def main(clip, truth_path):
    with open(truth_path) as f:
        truth = json.load(f)
    side = 1.6 * truth["sticker_diameter_m"] * truth["px_per_m_marker_plane"]
    film = cv2.VideoCapture(clip)
    all_of_them = [dict(name=n, tracker=t, frames=0, held=0, sum=0.0, took=0.0, runs=0) for n, t in trackers()]
    started = False
    for frame_truth in truth["frames"]:
        ok, frame = film.read()
        if not ok:
            break
        mean, whole = frame_truth["marker_px_exposure_mean"], frame_truth["marker_whole_in_view"]
        if not started and (mean is None or not whole):
            continue
        for t in all_of_them:
            began = time.perf_counter()
            if not started:
                t["tracker"].start(frame, (mean[0] + 0.5 - side / 2, mean[1] + 0.5 - side / 2, side, side))
                continue
            try:
                at = t["tracker"].next(frame)
            except cv2.error:
                at = None
            t["took"] += time.perf_counter() - began
            t["runs"] += 1
            if not whole:
                continue
            t["frames"] += 1
            if at is not None and math.hypot(at[0] - mean[0], at[1] - mean[1]) <= LOST:
                t["held"] += 1
                t["sum"] += ((at[0] - mean[0]) ** 2 + (at[1] - mean[1]) ** 2) / 2
        started = True
    json.dump([dict(name=t["name"], frames=t["frames"], held=t["held"], error_sq_px2=t["sum"],
                    ms_per_frame=1000 * t["took"] / max(1, t["runs"])) for t in all_of_them], sys.stdout)


main(sys.argv[1], sys.argv[2])
