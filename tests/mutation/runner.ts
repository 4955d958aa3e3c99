import { TestRunner, test } from "vitest";

/** A test file that can't be loaded fails one test; Stryker would take no tests at all for a change that nobody noticed. */
export default class LoadingRunner extends TestRunner {
  override async importFile(...[path, source]: Parameters<TestRunner["importFile"]>): Promise<void> {
    try {
      await super.importFile(path, source);
    } catch (error) {
      if (source !== "collect") throw error;
      test("loads", () => {
        throw error;
      });
    }
  }
}
