  // The module is in this file: base64 of gzip.
  const start = async progress => {
    const packed = at("module");
    const text = packed.textContent;
    packed.remove();
    const part = 1 << 20;
    const parts = [];
    for (let i = 0; i < text.length; i += part) {
      parts.push(Uint8Array.from(atob(text.slice(i, i + part)), c => c.charCodeAt(0)));
      progress(0.5 * i / text.length);
      await new Promise(requestAnimationFrame);
    }
    const stream = new Blob(parts).stream().pipeThrough(new DecompressionStream("gzip"));
    const module_or_path = await new Response(stream).arrayBuffer();
    progress(0.8);
    at("state").textContent = "Starting …";
    await wasm_bindgen({ module_or_path });
  };
