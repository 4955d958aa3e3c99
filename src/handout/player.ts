/**
 * The script of a handout page, as text: plain JavaScript of a browser, self-contained, no network.
 *
 * It reads the tracks from the page's `#tracks` element, whose times are sounding beats (the feel is already in them), so that a change of
 * tempo keeps the swing. One pass is a list of stretches, each played with some of the parts; what the four ways of practising differ in is that
 * list and what of the music is shown. Every note that is handed to the audio clock is announced by a `note-scheduled` event on the document,
 * which is how a test can hold it against the score.
 */
export const PLAYER = `(() => {
  "use strict";
  const data = JSON.parse(document.getElementById("tracks").textContent);
  let music = data;
  const control = (name) => document.getElementById(name);
  const playButton = control("play"), tempo = control("tempo"), from = control("from"), to = control("to");
  const loop = control("loop"), countIn = control("count-in"), status = control("status"), more = control("more"), panel = control("panel");
  const mode = control("mode"), ladder = control("ladder"), ladderStep = control("ladder-step"), ladderWhen = control("ladder-when"), ladderTop = control("ladder-top");
  const good = control("good"), reveal = control("reveal"), fresh = control("fresh"), hear = control("hear");
  const parts = ["right", "left", "bass", "drums"];
  const switches = Object.fromEntries(parts.map((part) => [part, control("part-" + part)]));
  const LOOKAHEAD = 0.15, TICK = 25;

  let audio, output, noise, timer = 0, frame, anchorTime = 0, anchorBeat = 0, handed = 0, pass = 0, queue = [], sounding = [], lit = [];
  let stretches = [], current = 0, wasGood = false, revealed = 0, sight = -1, reading = false;

  const beatsPerSecond = () => Number(tempo.value) / 60;
  const timeOf = (beat) => anchorTime + (beat - anchorBeat) / beatsPerSecond();
  const beatNow = () => anchorBeat + (audio.currentTime - anchorTime) * beatsPerSecond();
  const stretch = () => stretches[current];

  // Bars as they are asked for: all, or from one to another; the pickup belongs to the first time through bar 1.
  const asked = () => ({
    from: Number(from.value) === 1 && !(loop.checked && pass > 0) ? -music.lead : music.bars[Number(from.value) - 1],
    to: music.bars[Math.min(Number(to.value), music.bars.length - 1)],
  });
  const planned = () => {
    if (mode.value === "sight") return [{ from: -music.lead, to: music.bars[music.bars.length - 1], mute: reading ? "right" : "" }];
    const whole = asked();
    if (mode.value === "ear") return [{ from: whole.from, to: music.bars[Math.max(1, Math.min(revealed + 1, music.bars.length - 1))] }];
    if (mode.value !== "answer") return [whole];
    return music.phrases
      .filter((phrase) => phrase.to > whole.from && phrase.from < whole.to)
      .flatMap((phrase) => [{ ...phrase, call: true }, { ...phrase, mute: "right", answer: true }]);
  };

  const begin = () => {
    if (!audio) {
      audio = new AudioContext();
      output = audio.createDynamicsCompressor();
      output.connect(audio.destination);
      noise = audio.createBuffer(1, audio.sampleRate, audio.sampleRate);
      const samples = noise.getChannelData(0);
      let seed = 1;
      for (let i = 0; i < samples.length; i++) {
        seed = (seed * 1103515245 + 12345) % 2147483648;
        samples[i] = seed / 1073741824 - 1;
      }
    }
    audio.resume();
    pass = 0;
    wasGood = false;
    stretches = planned();
    current = 0;
    if (mode.value === "answer") veilFrom(0);
    enter(audio.currentTime + 0.1, countIn.checked || reading);
    playButton.textContent = "Stop";
    playButton.setAttribute("aria-pressed", "true");
    timer = setInterval(hand, TICK);
    hand();
    light();
  };

  const stop = () => {
    clearInterval(timer);
    cancelAnimationFrame(frame);
    timer = 0;
    for (const { gain } of sounding) {
      gain.gain.cancelScheduledValues(audio.currentTime);
      gain.gain.setTargetAtTime(0, audio.currentTime, 0.02);
    }
    sounding = [];
    unlight();
    playButton.textContent = "Play";
    playButton.setAttribute("aria-pressed", "false");
    say("Stopped.");
    if (mode.value === "answer") veilFrom(Infinity);
    if (reading) {
      reading = false;
      control("sight-" + sight).classList.add("read");
      for (const measure of control("sight-" + sight).querySelectorAll(".measure")) measure.classList.add("veiled");
      hear.hidden = false;
      playButton.disabled = true;
      say("That was the one chance. Hear it, or take a fresh line.");
    }
  };

  const enter = (time, counted) => {
    const { from: beat, to: end, mute, answer } = stretch();
    const lead = counted ? music.barLength * data.countIn : 0;
    anchorTime = time;
    anchorBeat = beat - lead;
    const clicks = counted ? Array.from({ length: data.countIn }, (_, bar) => music.clicks.map((at) => ({ at: beat - lead + bar * music.barLength + at, duration: 0.1, midi: 37, part: "count-in" }))).flat() : [];
    queue = parts.flatMap((part) => (part === mute ? [] : (music.tracks[part] || []).map((note) => ({ ...note, part }))))
      .filter((note) => note.at >= beat && note.at < end)
      .concat(clicks)
      .sort((a, b) => a.at - b.at);
    handed = 0;
    if (stretch().call) say("Listen.");
    if (answer) say("Your turn: answer what you heard.");
  };

  const hand = () => {
    const horizon = audio.currentTime + LOOKAHEAD;
    while (timer && handed < queue.length && timeOf(queue[handed].at) < horizon) {
      const note = queue[handed++];
      const on = note.part === "count-in" || switches[note.part].checked;
      if (!on) continue;
      const time = Math.max(timeOf(note.at), audio.currentTime);
      const length = note.duration / beatsPerSecond();
      if (note.part === "drums" || note.part === "count-in") strike(note.midi, time, (note.velocity || 80) / 127);
      else tone(note.midi, time, length, (note.velocity || 80) / 127, note.part === "bass");
      document.dispatchEvent(new CustomEvent("note-scheduled", { detail: { part: note.part, midi: note.midi, beat: note.at, time: time, pass: pass, tempo: Number(tempo.value) } }));
    }
    if (!timer) return;
    sounding = sounding.filter((voice) => voice.until > audio.currentTime);
    const end = timeOf(stretch().to);
    if (end >= horizon || handed < queue.length) return;
    if (stretch().answer) revealUntil(stretch().to);
    if (current + 1 < stretches.length) {
      current++;
      enter(end, false);
      return;
    }
    if (!loop.checked || mode.value === "sight") {
      if (audio.currentTime > end) stop();
      return;
    }
    pass++;
    document.dispatchEvent(new CustomEvent("pass-ended", { detail: { pass: pass } }));
    if (ladder.checked && (ladderWhen.value === "pass" || wasGood)) setTempo(Math.min(Number(ladderTop.value), Number(tempo.value) + Number(ladderStep.value)));
    wasGood = false;
    stretches = planned();
    current = 0;
    if (mode.value === "answer") veilFrom(0);
    enter(end, false);
  };

  const tone = (midi, time, length, loudness, bass) => {
    const frequency = 440 * Math.pow(2, (midi - 69) / 12);
    const gain = audio.createGain();
    const filter = audio.createBiquadFilter();
    filter.type = "lowpass";
    filter.frequency.setValueAtTime(Math.min(12000, frequency * (bass ? 4 : 8)), time);
    filter.frequency.exponentialRampToValueAtTime(Math.max(80, frequency * 1.5), time + (bass ? 0.6 : 1.5));
    const peak = loudness * (bass ? 0.5 : 0.22);
    gain.gain.setValueAtTime(0.0001, time);
    gain.gain.exponentialRampToValueAtTime(peak, time + 0.006);
    gain.gain.exponentialRampToValueAtTime(peak * 0.35, time + Math.min(length, 0.8) + 0.01);
    gain.gain.setTargetAtTime(0, time + length, 0.05);
    for (const [type, ratio, share] of bass ? [["triangle", 1, 1]] : [["triangle", 1, 1], ["sine", 2, 0.35], ["sine", 3, 0.12]]) {
      const oscillator = audio.createOscillator();
      const level = audio.createGain();
      level.gain.value = share;
      oscillator.type = type;
      oscillator.frequency.value = frequency * ratio;
      oscillator.connect(level).connect(filter);
      oscillator.start(time);
      oscillator.stop(time + length + 0.4);
    }
    filter.connect(gain).connect(output);
    sounding.push({ gain: gain, until: time + length + 0.4 });
  };

  const DRUMS = { 35: [90, 0.25, 0], 36: [90, 0.25, 0], 37: [1800, 0.04, 1], 38: [1500, 0.14, 1], 40: [2500, 0.2, 1], 42: [8000, 0.05, 1], 44: [7000, 0.06, 1], 46: [7000, 0.3, 1], 51: [6000, 0.4, 1], 53: [4000, 0.4, 1], 59: [5500, 0.4, 1] };
  const strike = (midi, time, loudness) => {
    const [frequency, decay, noisy] = DRUMS[midi] || [3000, 0.1, 1];
    const gain = audio.createGain();
    gain.gain.setValueAtTime(loudness * (noisy ? 0.16 : 0.5), time);
    gain.gain.exponentialRampToValueAtTime(0.0001, time + decay);
    let source;
    if (noisy) {
      source = audio.createBufferSource();
      source.buffer = noise;
      const filter = audio.createBiquadFilter();
      filter.type = frequency > 3000 ? "highpass" : "bandpass";
      filter.frequency.value = frequency;
      source.connect(filter).connect(gain);
    } else {
      source = audio.createOscillator();
      source.frequency.setValueAtTime(frequency, time);
      source.frequency.exponentialRampToValueAtTime(frequency / 2, time + decay);
      source.connect(gain);
    }
    gain.connect(output);
    source.start(time);
    source.stop(time + decay + 0.05);
    sounding.push({ gain: gain, until: time + decay + 0.05 });
  };

  // Bars as they are drawn, in each layout; a pickup is drawn as a bar of its own, and what is repeated once.
  const sheets = () => Array.from(document.querySelectorAll(sight < 0 || mode.value !== "sight" ? ".sheet" : "#sight-" + sight));
  const measuresOf = (sheet) => Array.from(sheet.querySelectorAll(".measure"));
  const barAt = (beat) => music.bars.findLastIndex((start) => start <= beat + 1e-6);
  const veilFrom = (bar) => {
    const shown = new Set(music.drawn.slice(0, bar));
    if (music.lead > 0 && bar > 0) shown.add(0);
    for (const sheet of sheets()) measuresOf(sheet).forEach((measure, i) => measure.classList.toggle("veiled", !shown.has(i)));
  };
  const revealUntil = (beat) => veilFrom(Math.max(barAt(beat - 1e-3) + 1, 0));

  const unlight = () => {
    for (const element of lit) element.classList.remove("sounding");
    lit = [];
  };

  let shownBar = 0;
  const light = () => {
    const beat = beatNow();
    const now = [];
    for (const part of ["right", "left"]) {
      if (!switches[part].checked || stretch().mute === part) continue;
      for (const note of music.tracks[part]) {
        if (note.at > beat || note.at + note.duration <= beat) continue;
        for (const id of note.ids) {
          for (const prefix of music.prefixes) {
            const element = document.getElementById(prefix + id);
            if (element) now.push(element);
          }
        }
        for (const key of document.querySelectorAll('[data-hand="' + part + '"] [data-midi="' + note.midi + '"]')) now.push(key);
      }
    }
    unlight();
    lit = now;
    for (const element of lit) element.classList.add("sounding");
    const bar = beat < anchorBeat ? 0 : barAt(beat) + 1;
    if (bar !== shownBar) {
      shownBar = bar;
      if (mode.value !== "answer") say(beat < stretch().from ? "Counting in." : "Bar " + Math.max(1, Math.min(bar, music.bars.length - 1)) + ".");
      follow(bar);
    }
    frame = requestAnimationFrame(light);
  };

  // The system that sounds is brought into view, unless it is there already.
  const follow = (bar) => {
    for (const sheet of sheets()) {
      if (sheet.getClientRects().length === 0) continue;
      const measure = measuresOf(sheet)[bar < 1 ? 0 : music.drawn[bar - 1]];
      const system = measure && measure.closest(".systems > svg");
      if (!system) continue;
      const { top, bottom } = system.getBoundingClientRect();
      const floor = innerHeight - document.querySelector(".player").offsetHeight;
      if (top >= 0 && bottom <= floor) continue;
      const calm = matchMedia("(prefers-reduced-motion: reduce)").matches;
      scrollBy({ top: top - 16, behavior: calm ? "auto" : "smooth" });
    }
  };

  const say = (text) => { status.textContent = text; };
  const setTempo = (value) => {
    if (timer) {
      anchorBeat = beatNow();
      anchorTime = audio.currentTime;
    }
    tempo.value = String(value);
    showTempo();
  };
  const showTempo = () => {
    control("tempo-text").textContent = tempo.value;
    tempo.setAttribute("aria-valuetext", tempo.value + " beats a minute");
  };
  const restart = () => {
    if (!timer) return;
    stop();
    begin();
  };

  const changeMode = () => {
    if (timer) stop();
    reading = false;
    const sighted = mode.value === "sight";
    music = data;
    playButton.disabled = sighted;
    reveal.hidden = mode.value !== "ear";
    fresh.hidden = !sighted;
    hear.hidden = true;
    for (const section of document.querySelectorAll(".sight")) section.hidden = true;
    for (const sheet of document.querySelectorAll(".sheet")) sheet.hidden = sighted;
    for (const told of document.querySelectorAll("[data-told]")) told.hidden = told.dataset.told !== mode.value;
    revealed = 0;
    veilFrom(mode.value === "ear" ? 0 : Infinity);
    say("");
  };

  playButton.addEventListener("click", () => (timer ? stop() : begin()));
  more.addEventListener("click", () => {
    panel.hidden = !panel.hidden;
    more.setAttribute("aria-expanded", String(!panel.hidden));
  });
  loop.addEventListener("click", () => {
    loop.checked = !loop.checked;
    loop.setAttribute("aria-pressed", String(loop.checked));
  });
  loop.checked = true;
  control("slower").addEventListener("click", () => setTempo(Number(tempo.value) - 4));
  control("faster").addEventListener("click", () => setTempo(Number(tempo.value) + 4));
  tempo.addEventListener("input", () => setTempo(tempo.value));
  mode.addEventListener("change", changeMode);
  good.addEventListener("click", () => {
    wasGood = true;
    say("Good: the next pass is faster.");
  });
  ladder.addEventListener("change", () => {
    good.hidden = !(ladder.checked && ladderWhen.value === "good");
  });
  ladderWhen.addEventListener("change", () => {
    good.hidden = !(ladder.checked && ladderWhen.value === "good");
  });
  reveal.addEventListener("click", () => {
    revealed = Math.min(revealed + 1, music.bars.length - 1);
    veilFrom(revealed);
    say(revealed === music.bars.length - 1 ? "All bars are shown." : revealed + (revealed === 1 ? " bar is" : " bars are") + " shown.");
    restart();
  });
  fresh.addEventListener("click", () => {
    if (timer) {
      reading = false;
      stop();
    }
    if (sight + 1 >= data.sight.length) {
      say("All fresh lines are read. Make the page anew with another seed for more.");
      return;
    }
    if (sight >= 0) control("sight-" + sight).hidden = true;
    sight++;
    control("sight-" + sight).hidden = false;
    music = data.sight[sight];
    reading = true;
    hear.hidden = true;
    playButton.disabled = false;
    playButton.focus();
    say("Look it over. Play counts you in, once.");
  });
  hear.addEventListener("click", () => {
    for (const measure of control("sight-" + sight).querySelectorAll(".measure")) measure.classList.remove("veiled");
    if (timer) stop();
    begin();
  });
  const orderBars = (changed) => {
    if (Number(from.value) > Number(to.value)) (changed === from ? to : from).value = changed.value;
    restart();
  };
  from.addEventListener("change", () => orderBars(from));
  to.addEventListener("change", () => orderBars(to));
  document.addEventListener("keydown", (event) => {
    if (event.key !== " " || event.target.closest("button, input, select, a, summary")) return;
    event.preventDefault();
    if (!playButton.disabled) playButton.click();
  });
  showTempo();
  changeMode();
})();`;
