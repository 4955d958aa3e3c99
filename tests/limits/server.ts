import { fastify } from "fastify";
import { CAUTION } from "../../src/index.ts";
import { isMusicError, makeDrill, within, writeMidi, writeMusicXml } from "../all.ts";

const LIMITS = { bars: 128, notes: 6000, bytes: 2_000_000, milliseconds: 120, now: () => performance.now() };

export const drillServer = () => {
  const app = fastify({ bodyLimit: 4096 });
  app.setErrorHandler((error: Error & { readonly statusCode?: number }, _request, reply) => {
    if (isMusicError(error)) {
      const { code, message, hint } = error;
      return reply.code(error.reason === "cannot-be-done" ? 422 : 400).send({ code, message, hint });
    }
    const status = error.statusCode ?? 500;
    return reply.code(status).send({ code: "server", message: status < 500 ? error.message : "something broke" });
  });
  app.post("/drill", (request) =>
    within(LIMITS, () => {
      const { title, remarks, score } = makeDrill(request.body as Parameters<typeof makeDrill>[0]);
      return {
        title,
        remarks,
        caution: CAUTION,
        musicXml: writeMusicXml(score),
        midi: Buffer.from(writeMidi(score)).toString("base64"),
      };
    }),
  );
  return app;
};
