// The pages show no typeset formulas. Voilà's start-up asks for a formula typesetter all the same
// (and brings a large one along if none is named); this one has nothing to do.
window.MathJax = {
  Hub: { Config() {}, Configured() {}, Queue() {}, Register: { StartupHook() {} } },
  Ajax: {},
};
