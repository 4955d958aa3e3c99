// The server of docs/on-a-server.md: how long hostile bodies take, drills alone, and whether memory grows.
// npx tsx --expose-gc bench/server.ts [drills]
import { hostile } from "../tests/limits/hostile.ts";
import { drillServer } from "../tests/limits/server.ts";

const [count = 2000] = process.argv.slice(2).map(Number);
const app = drillServer();
const post = async (payload: string): Promise<readonly [status: number, ms: number]> => {
  const from = process.cpuUsage();
  const { statusCode } = await app.inject({
    method: "POST",
    url: "/drill",
    headers: { "content-type": "application/json" },
    payload,
  });
  // Milliseconds of the processor: other work on the machine is not the server's.
  const { user, system } = process.cpuUsage(from);
  return [statusCode, (user + system) / 1000];
};

const KEYS = ["C", "Db", "D", "Eb", "E", "F", "Gb", "G", "Ab", "A", "Bb", "B"];
const drill = (i: number): string =>
  JSON.stringify({
    key: KEYS[i % 12],
    left: i % 3 === 0 ? "rootless" : "shell",
    right: ["up-and-down", "turns", "improvised"][i % 4] ?? "enclosures",
    tempo: 60 + (i % 120),
    seed: i,
  });

for (let i = 0; i < 100; i++) await post(drill(i));
console.log("| body | status | ms |\n|---|---|---|");
for (const [title, body] of hostile) {
  const [status, ms] = await post(body);
  console.log(`| ${title} | ${status} | ${ms.toFixed(0)} |`);
}
const times: number[] = [];
const heap: number[] = [];
for (let i = 0; i < count; i++) {
  times.push((await post(drill(i)))[1]);
  if (i % Math.ceil(count / 5) === 0) {
    globalThis.gc?.();
    heap.push(process.memoryUsage().heapUsed / 2 ** 20);
  }
}
times.sort((a, b) => a - b);
const at = (share: number): string => (times[Math.floor(share * (times.length - 1))] ?? 0).toFixed(1);
console.log(
  `${count} drills: p50 ${at(0.5)} ms, p99 ${at(0.99)} ms; heap ${heap.map((mb) => mb.toFixed(0)).join(", ")} MB`,
);
await app.close();
