import puppeteer from "puppeteer-core";
const [file,w,scheme,sel,out,media]=process.argv.slice(2);
const b=await puppeteer.launch({executablePath:"/usr/bin/chromium",args:["--no-sandbox","--disable-gpu"]});
const p=await b.newPage();await p.emulateMediaFeatures([{name:"prefers-color-scheme",value:scheme}]);
await p.setViewport({width:+w,height:1200});await p.goto("file://"+file);if(media)await p.emulateMediaType(media);
const e=await p.$(sel);await e.screenshot({path:out});
await b.close();
