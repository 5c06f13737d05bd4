  // The module is the file beside this one.
  const start = async () => wasm_bindgen({ module_or_path: "inchwise_bg.wasm" });
