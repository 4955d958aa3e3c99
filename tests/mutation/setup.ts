import fc from "fast-check";

// A law is tried for so many milliseconds and then holds, lest every survivor cost all its cases.
fc.configureGlobal({ interruptAfterTimeLimit: 300 });
