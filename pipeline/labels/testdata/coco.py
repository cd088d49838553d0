"""Reads a COCO keypoints file as evaluation programs do, by an index of its ids,
checks it, and writes it again.

Usage: coco.py IN OUT
Prints a line for each keypoint with v > 0: picture, keypoint, x, y, v.
"""
import json
import sys
from collections import defaultdict

import numpy

data = json.load(open(sys.argv[1]))
images = {i["id"]: i for i in data["images"]}
categories = {c["id"]: c for c in data["categories"]}
of_image = defaultdict(list)
for a in data["annotations"]:
    of_image[a["image_id"]].append(a)
assert len(images) == len(data["images"]), "ids of images are not unique"
assert len({a["id"] for a in data["annotations"]}) == len(data["annotations"]), "ids of annotations are not unique"
assert all(a["id"] > 0 for a in data["annotations"]), "evaluation programs take an id of 0 for no match"

for image in sorted(images.values(), key=lambda i: i["file_name"]):
    assert image["width"] > 0 and image["height"] > 0
    for a in of_image[image["id"]]:
        names = categories[a["category_id"]]["keypoints"]
        points = numpy.array(a["keypoints"], dtype=float).reshape(-1, 3)
        assert len(points) == len(names), "keypoints and their names differ in number"
        assert a["num_keypoints"] == int((points[:, 2] > 0).sum()), "num_keypoints"
        assert set(points[:, 2]) <= {0.0, 1.0, 2.0}, "visibility"
        assert not points[points[:, 2] == 0].any(), "unmarked keypoints are 0, 0, 0"
        x, y, w, h = a["bbox"]
        seen = points[points[:, 2] > 0]
        assert (seen[:, 0] >= x).all() and (seen[:, 0] <= x + w).all() and (seen[:, 1] >= y).all() and (seen[:, 1] <= y + h).all(), "bbox"
        assert a["area"] > 0 and a["iscrowd"] == 0
        for name, (px, py, v) in zip(names, points.tolist()):
            if v > 0:
                print(image["file_name"], name, repr(px), repr(py), int(v), sep="\t")
for c in categories.values():
    assert all(1 <= a <= len(c["keypoints"]) and 1 <= b <= len(c["keypoints"]) for a, b in c["skeleton"]), "skeleton"

data["annotations"].reverse()
json.dump(data, open(sys.argv[2], "w"), indent=1, sort_keys=True)
