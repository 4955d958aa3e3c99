/**
 * The script of a handout page, as text: plain JavaScript of a browser, self-contained, no network.
 *
 * It reads the tracks from the page's `#tracks` element, whose times are sounding beats (the feel is already in them), so that a change of
 * tempo keeps the swing. Every note that is handed to the audio clock is announced by a `note-scheduled` event on the document, which
 * is how a test can hold it against the score.
 */
export const PLAYER = `(() => {
  "use strict";
  const music = JSON.parse(document.getElementById("tracks").textContent);
  const control = (name) => document.getElementById(name);
  const playButton = control("play"), tempo = control("tempo"), tempoText = control("tempo-text"), from = control("from"), to = control("to");
  const loop = control("loop"), countIn = control("count-in"), status = control("status");
  const parts = ["right", "left", "bass", "drums"];
  const switches = Object.fromEntries(parts.map((part) => [part, control("part-" + part)]));
  const LOOKAHEAD = 0.15, TICK = 25;

  let audio, output, noise, timer, frame, anchorTime = 0, anchorBeat = 0, handed = 0, pass = 0, queue = [], sounding = [], lit = [];

  const beatsPerSecond = () => Number(tempo.value) / 60;
  const startBeat = () => (Number(from.value) === 1 && !(loop.checked && pass > 0) ? -music.lead : music.bars[Number(from.value) - 1]);
  const endBeat = () => music.bars[Number(to.value)];
  const timeOf = (beat) => anchorTime + (beat - anchorBeat) / beatsPerSecond();
  const beatNow = () => anchorBeat + (audio.currentTime - anchorTime) * beatsPerSecond();

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
    queueFrom(startBeat(), audio.currentTime + 0.1, countIn.checked);
    playButton.textContent = "Stop";
    playButton.setAttribute("aria-pressed", "true");
    timer = setInterval(hand, TICK);
    hand();
    light();
  };

  const stop = () => {
    clearInterval(timer);
    cancelAnimationFrame(frame);
    timer = undefined;
    for (const { gain } of sounding) {
      gain.gain.cancelScheduledValues(audio.currentTime);
      gain.gain.setTargetAtTime(0, audio.currentTime, 0.02);
    }
    sounding = [];
    unlight();
    playButton.textContent = "Play";
    playButton.setAttribute("aria-pressed", "false");
    status.textContent = "Stopped.";
  };

  const queueFrom = (beat, time, counted) => {
    const lead = counted ? music.barLength : 0;
    anchorTime = time;
    anchorBeat = beat - lead;
    const end = endBeat();
    queue = parts.flatMap((part) => (music.tracks[part] || []).map((note) => ({ ...note, part })))
      .filter((note) => note.at >= beat && note.at < end)
      .concat(counted ? music.clicks.map((at) => ({ at: beat - lead + at, duration: 0.1, midi: 37, part: "count-in" })) : [])
      .sort((a, b) => a.at - b.at);
    handed = 0;
  };

  const hand = () => {
    const horizon = audio.currentTime + LOOKAHEAD;
    while (timer !== undefined && handed < queue.length && timeOf(queue[handed].at) < horizon) {
      const note = queue[handed++];
      const on = note.part === "count-in" || switches[note.part].checked;
      if (!on) continue;
      const time = Math.max(timeOf(note.at), audio.currentTime);
      const length = note.duration / beatsPerSecond();
      if (note.part === "drums" || note.part === "count-in") strike(note.midi, time, (note.velocity || 80) / 127);
      else tone(note.midi, time, length, (note.velocity || 80) / 127, note.part === "bass");
      document.dispatchEvent(new CustomEvent("note-scheduled", { detail: { part: note.part, midi: note.midi, beat: note.at, time: time, pass: pass } }));
    }
    if (timer === undefined) return;
    sounding = sounding.filter((voice) => voice.until > audio.currentTime);
    if (timeOf(endBeat()) < horizon) {
      if (!loop.checked) {
        if (audio.currentTime > timeOf(endBeat())) stop();
        return;
      }
      const time = timeOf(endBeat());
      if (handed < queue.length) return;
      pass++;
      queueFrom(startBeat(), time, false);
    }
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

  const unlight = () => {
    for (const element of lit) element.classList.remove("sounding");
    lit = [];
  };

  let shownBar = 0;
  const light = () => {
    const beat = beatNow();
    const now = [];
    for (const part of ["right", "left"]) {
      if (!switches[part].checked) continue;
      for (const note of music.tracks[part]) {
        if (note.at > beat || note.at + note.duration <= beat) continue;
        for (const id of note.ids) {
          const element = document.getElementById(id);
          if (element) now.push(element);
        }
        for (const key of document.querySelectorAll('[data-hand="' + part + '"] [data-midi="' + note.midi + '"]')) now.push(key);
      }
    }
    unlight();
    lit = now;
    for (const element of lit) element.classList.add("sounding");
    const bar = beat < anchorBeat ? 0 : music.bars.findLastIndex((start) => start <= beat) + 1;
    if (bar !== shownBar) {
      shownBar = bar;
      status.textContent = bar < 1 ? "Counting in." : "Bar " + Math.min(bar, music.bars.length - 1) + ".";
    }
    frame = requestAnimationFrame(light);
  };

  playButton.addEventListener("click", () => (timer === undefined ? begin() : stop()));
  tempo.addEventListener("input", () => {
    if (timer !== undefined) {
      anchorBeat = beatNow();
      anchorTime = audio.currentTime;
    }
    showTempo();
  });
  const showTempo = () => {
    tempoText.textContent = tempo.value;
    tempo.setAttribute("aria-valuetext", tempo.value + " beats a minute");
  };
  const orderBars = (changed) => {
    if (Number(from.value) > Number(to.value)) (changed === from ? to : from).value = changed.value;
    if (timer !== undefined) {
      stop();
      begin();
    }
  };
  from.addEventListener("change", () => orderBars(from));
  to.addEventListener("change", () => orderBars(to));
  document.addEventListener("keydown", (event) => {
    if (event.key !== " " || event.target.closest("button, input, select, a, summary")) return;
    event.preventDefault();
    playButton.click();
  });
  showTempo();
})();`;
