// Chapters, frame steps, slow play and the slider of a lesson's page. Without it
// the page can be watched and read.
"use strict";

const player = document.querySelector(".player");
const video = player.querySelector("video");
const said = player.querySelector("[role=status]");
const rate = Number(player.dataset.rate);

const all = (selector, within) => [...within.querySelectorAll(selector)];
const press = (buttons, pressed) => buttons.forEach((b) => b.setAttribute("aria-pressed", String(b === pressed)));

function tell(text) {
  said.textContent = text;
}

function clock(seconds) {
  const whole = Math.floor(seconds);
  return Math.floor(whole / 60) + ":" + String(whole % 60).padStart(2, "0");
}

function step(by) {
  video.pause();
  const frame = Math.max(0, Math.floor(video.currentTime * rate + 1e-3) + by);
  // The middle of a frame's time is safe from rounding at its borders.
  video.currentTime = Math.min((frame + 0.5) / rate, Math.max(0, video.duration - 0.5 / rate));
  tell(clock(video.currentTime) + ", frame " + frame);
}

all("[data-at]", player).forEach((b) =>
  b.addEventListener("click", () => {
    video.currentTime = Number(b.dataset.at) + 0.5 / rate;
    tell(b.textContent);
    video.play().catch(() => {}); // a browser may want a touch of its own first
  }));
all("[data-step]", player).forEach((b) => b.addEventListener("click", () => step(Number(b.dataset.step))));

const speeds = all("[data-speed]", player);
speeds.forEach((b) =>
  b.addEventListener("click", () => {
    video.playbackRate = Number(b.dataset.speed);
    press(speeds, b);
    tell(b.textContent);
  }));

const captions = player.querySelector("[data-captions]");
if (captions) {
  const track = video.textTracks[0];
  captions.addEventListener("click", () => {
    track.mode = track.mode === "showing" ? "hidden" : "showing";
  });
  video.textTracks.addEventListener("change", () => captions.setAttribute("aria-pressed", String(track.mode === "showing")));
}

// Single keys act only while the player has the focus.
player.addEventListener("keydown", (e) => {
  if (e.ctrlKey || e.altKey || e.metaKey) return;
  const by = { ",": -1, ".": 1 }[e.key];
  if (by) {
    step(by);
    e.preventDefault();
  }
});

// The poster has the shape of the film that the browser chose.
video.addEventListener("loadedmetadata", () => {
  const chosen = all("source", video).find((s) => s.src === video.currentSrc);
  if (chosen && chosen.dataset.poster) video.poster = chosen.dataset.poster;
});
player.querySelector(".controls").hidden = false;

const stills = document.querySelector(".stills");
if (stills) {
  const moments = all(".moment", stills);
  const buttons = all("[data-moment]", stills);
  const show = (chosen) => moments.forEach((m, i) => { m.hidden = i !== chosen; });
  buttons.forEach((b) =>
    b.addEventListener("click", () => {
      show(Number(b.dataset.moment));
      press(buttons, b);
    }));
  moments.forEach((m) => {
    const slider = m.querySelector("input");
    const cut = () => {
      m.style.setProperty("--cut", slider.value + "%");
      slider.setAttribute("aria-valuetext", slider.value + " % of the picture from before");
    };
    slider.addEventListener("input", cut);
    cut();
    m.classList.add("sliding");
    m.querySelector("label").hidden = false;
  });
  stills.querySelector(".moments").hidden = buttons.length < 2;
  show(0);
}

window.addEventListener("beforeprint", () => all("details", document).forEach((d) => { d.open = true; }));
