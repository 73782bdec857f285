import puppeteer from "puppeteer-core";
const [file,w,h,scheme,prefix,max]=process.argv.slice(2);
const b=await puppeteer.launch({executablePath:"/usr/bin/chromium",args:["--no-sandbox","--disable-gpu"]});
const p=await b.newPage();await p.emulateMediaFeatures([{name:"prefers-color-scheme",value:scheme}]);
await p.setViewport({width:+w,height:+h});await p.goto("file://"+file);
for(let i=0;i<+max;i++){await p.evaluate(y=>window.scrollTo(0,y),i*(+h-20));await p.screenshot({path:`/tmp/page/${prefix}-${i}.png`});}
await b.close();
