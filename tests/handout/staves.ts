/// <reference lib="dom" />
import type { Page } from "playwright-core";

/** How high the first staff of each system is, in millimetres, between the middles of its outer lines. */
export const staffHeights = (page: Page, systems = "div.system > svg, .on-page > svg"): Promise<readonly number[]> =>
  page.evaluate(
    (selector) =>
      Array.from(document.querySelectorAll(selector))
        .filter((system) => system.getBoundingClientRect().width > 0)
        .map((system) => {
          const lines = Array.from(
            system.querySelectorAll("g.staff")[0]?.querySelectorAll(":scope > path") ?? [],
            (line) => {
              const { top, bottom } = line.getBoundingClientRect();
              return (top + bottom) / 2;
            },
          );
          return ((Math.max(...lines) - Math.min(...lines)) / 96) * 25.4;
        }),
    systems,
  );
